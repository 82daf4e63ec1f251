"""`planlint weak-spots`."""

from __future__ import annotations

from planlint.cli.one_plan import AnswerFormat, Output, PlanFile, Root, show


def weak_spots(plan: PlanFile, output: Output = AnswerFormat.TEXT, root: Root = None) -> None:
    """Take away each combiner, splitter, antenna, unit and free TV channel in turn: who goes quiet, what saves them."""
    from planlint.output import weak_spots as spots

    show(spots, plan, root, output)
