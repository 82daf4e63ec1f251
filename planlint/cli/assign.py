"""`planlint assign`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planlint.cli.one_plan import AnswerFormat, Output, PlanFile, Root, stop
from planlint.cli.one_plan import write as print_answer

if TYPE_CHECKING:
    from planlint.engine.propose import Opened


def assign(
    plan: PlanFile,
    *,
    write: Annotated[bool, typer.Option("--write", help="Enter the carriers into the file; comments stay.")] = False,
    seconds: Annotated[float, typer.Option(min=0, help="How long to search; the best so far is given then.")] = 30.0,
    seed: Annotated[int, typer.Option(help="Of the orders tried; the same seed gives the same answer.")] = 0,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
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
        stop(f"{plan}: carriers of no common step, {error} Hz: write tuning steps in whole kHz")
    moves, written, found = answer.proposal.moves, None, None
    try:
        found = proposed.compared(opened, moves) if moves else None
        if write and moves and not answer.brings:
            written = proposed.write(opened, moves)
    except (NotWritableError, OSError) as error:
        if write:
            stop(str(error))
    render = show.as_json if output is AnswerFormat.JSON else show.as_text
    print_answer(render(opened, answer, found, written=written))
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
        stop(str(error))


def progress_to(stream: object) -> Callable[[str], None]:
    """Return what shows a search's progress on one line of a terminal; nothing where no person looks."""
    shown = getattr(stream, "isatty", lambda: False)()

    def show(text: str) -> None:
        if shown:
            sys.stderr.write(f"\r\x1b[K{text}\r")
            sys.stderr.flush()

    return show
