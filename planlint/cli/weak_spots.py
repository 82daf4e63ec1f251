"""`planlint weak-spots`."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


class SpotsFormat(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"


def weak_spots(
    plan: Annotated[Path, typer.Argument(help="A venue or plan file.")],
    output: Annotated[SpotsFormat, typer.Option("--format", help="How to print them.")] = SpotsFormat.TEXT,
    root: Annotated[
        Path | None, typer.Option(help="The folder that no path may leave (default: the nearest repository).")
    ] = None,
) -> None:
    """Take away each combiner, splitter, antenna, unit and free TV channel in turn: who goes quiet, what saves them."""
    from planlint.document import find_root
    from planlint.engine.select import NothingToCheckError
    from planlint.engine.single import open_plan
    from planlint.output import weak_spots as show

    top = root.resolve() if root else find_root(plan, Path.cwd())
    try:
        facts = open_plan(top, plan)
    except NothingToCheckError as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None
    text = show.as_json(facts) if output is SpotsFormat.JSON else show.as_text(facts)
    sys.stdout.buffer.write(text.encode())
