"""`planlint capacity`."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from planlint.cli.ask import LinkKind
from planlint.cli.assign import open_or_exit, progress_to
from planlint.cli.one_plan import AnswerFormat, Output, PlanFile, Root, write


def capacity(
    plan: PlanFile,
    *,
    kind: Annotated[
        LinkKind | None, typer.Option(help="For which kind of link (default: every kind the plan has).")
    ] = None,
    seconds: Annotated[float, typer.Option(min=0, help="How long to search in all.")] = 30.0,
    seed: Annotated[int, typer.Option(help="Of the searches.")] = 0,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
) -> None:
    """Count how many more links fit, what limits them, and what survives all the tour's venues. Nothing is written.

    Exit code 0: shown. 2: wrong use, or a file that cannot be judged. 3: a fault of planlint itself.
    """
    # where other work has the cores, numpy's own threads make its small systems of equations some six times slower
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from planlint.engine.capacity import capacity as count
    from planlint.output import capacity as show

    opened = open_or_exit(plan, root)
    found = count(
        opened,
        (kind.value,) if kind is not None else (),
        seconds=seconds,
        seed=seed,
        workers=min(2, os.cpu_count() or 1),
        progress=progress_to(sys.stderr),
    )
    write((show.as_json if output is AnswerFormat.JSON else show.as_text)(opened.facts, found))
