"""`planlint levels`."""

from __future__ import annotations

from planlint.cli.one_plan import AnswerFormat, Output, PlanFile, Root, show


def levels(plan: PlanFile, output: Output = AnswerFormat.TEXT, root: Root = None) -> None:
    """Print the link sum of every pack and microphone, and the intermodulation relations by estimated C/I."""
    from planlint.output import levels as sums

    show(sums, plan, root, output)
