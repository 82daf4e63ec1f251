"""What git calls by itself; `planlint git-setup` tells it to."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer


def git_merge_file(
    base: Annotated[Path, typer.Argument(help="The common ancestor's text.")],
    ours: Annotated[Path, typer.Argument(help="Our text; the result is written here.")],
    theirs: Annotated[Path, typer.Argument(help="Their text.")],
    marker: Annotated[int, typer.Argument(help="Length of a conflict marker.")],
    path: Annotated[str, typer.Argument(help="The file's path in the repository.")],
) -> None:
    """Merge one plan file by identity (git's merge driver)."""
    from planlint.git.driver import merge_file
    from planlint.git.run import top

    outcome = merge_file(base, ours, theirs, marker, path, top(Path.cwd()))
    for line in outcome.says:
        typer.echo(f"planlint: {line}" if not line.startswith(" ") else line, err=True)
    raise typer.Exit(outcome.code)


def git_diff_file(
    words: Annotated[list[str], typer.Argument(help="path old-file old-hex old-mode new-file new-hex new-mode")],
) -> None:
    """Print the difference of one plan file (git's diff driver). The exit code is always 0: git wants it so."""
    from planlint.git.driver import differing
    from planlint.output.paint import harmless

    if len(words) < 7:  # an unmerged file has only its path
        typer.echo(f"* {words[0]}: not merged yet")
        return
    path, old, _, _, new = words[:5]
    found = differing(Path(old), Path(new))
    if found is None:
        from planlint.git.textmerge import line_diff

        sys.stdout.buffer.write(line_diff(Path(old), Path(new), path))
        return
    lines = [f"planlint diff {harmless(path)}", *(f"  {harmless(line)}" for line in found)]
    lines += [] if found else ["  says the same: only its text differs"]
    sys.stdout.buffer.write("".join(f"{line}\n" for line in lines).encode())


def git_text(file: Annotated[Path, typer.Argument(help="A plan file.")]) -> None:
    """Print a plan as one line for each value, in one order (git's text conversion for diffs in the log)."""
    from planlint.git.driver import flat

    raw = file.read_bytes()
    text = flat(raw.decode("utf-8-sig", errors="replace"))
    sys.stdout.buffer.write(raw if text is None else text.encode())


def git_merged() -> None:
    """Say what only the merged sum brings, after a merge (git's hook). The exit code is always 0."""
    from planlint.git.after import after_merge
    from planlint.git.run import GitError, top

    try:
        for line in after_merge(top(Path.cwd())):
            typer.echo(f"planlint: {line}" if not line.startswith(" ") else line, err=True)
    except GitError as error:
        typer.echo(f"planlint: {error}", err=True)
