"""`planlint init`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


def init(
    folder: Annotated[Path, typer.Argument(help="Where to write; the working folder if none.")] = Path(),
    *,
    tour: Annotated[bool, typer.Option("--tour", help="Write a tour with models and one venue.")] = False,
) -> None:
    """Write a first plan to fill in: the shortest one, or a tour. An existing file is never overwritten."""
    from planlint.fix.starter import ExistsError, write_starter

    try:
        written = write_starter(folder, tour=tour)
    except (ExistsError, OSError) as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None
    for path in written:
        typer.echo(f"wrote {path.as_posix()}")
    typer.echo(f"next: planlint check {folder.as_posix()}")
