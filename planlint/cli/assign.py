"""`planlint assign`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planlint.cli import EXIT_USE

if TYPE_CHECKING:
    from planlint.engine.propose import Opened


class AssignFormat(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"


def assign(
    plan: Annotated[Path, typer.Argument(help="A venue or plan file.")],
    *,
    write: Annotated[bool, typer.Option("--write", help="Enter the carriers into the file; comments stay.")] = False,
    seconds: Annotated[float, typer.Option(min=0, help="How long to search; the best so far is given then.")] = 30.0,
    seed: Annotated[int, typer.Option(help="Of the orders tried; the same seed gives the same answer.")] = 0,
    output: Annotated[AssignFormat, typer.Option("--format", help="How to print the proposal.")] = AssignFormat.TEXT,
    root: Annotated[
        Path | None, typer.Option(help="The folder that no path may leave (default: the nearest repository).")
    ] = None,
) -> None:
    """Propose carriers for links without one or in a fault, touching as few units as can be.

    Exit code 0: nothing needs to move, or it was written and nothing is left. 1: something moves or is left, or
    nothing fits. 2: wrong use, or a file that cannot be judged. 3: a fault of planlint itself.
    """
    from planlint.assign.raster.field import TooFineError
    from planlint.engine import proposed
    from planlint.engine.propose import propose
    from planlint.fix.carriers import NotWritableError
    from planlint.output import proposal as show

    opened = open_or_exit(plan, root)
    try:
        answer = propose(opened, seconds=seconds, seed=seed, progress=progress_to(sys.stderr))
    except TooFineError as error:
        typer.echo(
            f"planlint: {plan}: carriers of no common step, {error} Hz: write tuning steps in whole kHz", err=True
        )
        raise typer.Exit(EXIT_USE) from None
    moves, written, found = answer.proposal.moves, None, None
    try:
        found = proposed.compared(opened, moves) if moves else None
        if write and moves and not answer.brings:
            written = proposed.write(opened, moves)
    except (NotWritableError, OSError) as error:
        if write:
            typer.echo(f"planlint: {error}", err=True)
            raise typer.Exit(EXIT_USE) from None
    render = show.as_json if output is AssignFormat.JSON else show.as_text
    sys.stdout.buffer.write(render(opened, answer, found, written=written).encode())
    sys.stdout.buffer.flush()
    said = answer.proposal
    left = bool(said.unfit or said.left or said.left_alone or answer.brings)
    raise typer.Exit(int(left or (bool(moves) and not written)))


def open_or_exit(plan: Path, root: Path | None) -> Opened:
    """Open a venue or plan for a proposal, or end with exit code 2 and the reason."""
    from planlint.config import ConfigError, read_config
    from planlint.document import find_root
    from planlint.engine.propose import open_for_proposals
    from planlint.engine.select import NothingToCheckError

    try:
        top = root.resolve() if root else find_root(plan, Path.cwd())
        return open_for_proposals(top, plan, read_config(top))
    except (NothingToCheckError, ConfigError) as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None


def progress_to(stream: object) -> Callable[[str], None]:
    """Return what shows a search's progress on one line of a terminal; nothing where no person looks."""
    shown = getattr(stream, "isatty", lambda: False)()

    def show(text: str) -> None:
        if shown:
            sys.stderr.write(f"\r\x1b[K{text}\r")
            sys.stderr.flush()

    return show
