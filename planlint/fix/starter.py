"""The plans that `planlint init` writes."""

from __future__ import annotations

from pathlib import Path

from planlint.fix.whole import write_whole

STARTERS = Path(__file__).resolve().parent / "starters"


class ExistsError(FileExistsError):
    """A file is in the way; nothing was written."""


def write_starter(folder: Path, *, tour: bool) -> list[Path]:
    """Write the shortest plan, or a tour with models and one venue, into a folder.

    Args:
        folder: made if it does not exist.
        tour: the tour instead of the shortest plan.

    Returns:
        The files written.

    Raises:
        ExistsError: one of the files exists already; none was written.
        OSError: the folder cannot be written.
    """
    source = STARTERS / ("tour" if tour else "plan")
    files = sorted(path.relative_to(source) for path in source.rglob("*.yaml"))
    taken = [folder / file for file in files if (folder / file).exists()]
    if taken:
        raise ExistsError(f"{taken[0].as_posix()} exists already: nothing was written. Name another folder")
    for file in files:
        write_whole(folder / file, (source / file).read_text("utf-8"))
    return [folder / file for file in files]
