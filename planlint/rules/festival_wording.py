"""What the rules about acts share: what is missing, and how an act and its times are named."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.plan.model import Act
from planlint.plan.quantity import clock


def lacking_acts(plan: Plan, *, times: bool = False, holds: bool = False) -> Iterator[Unchecked]:
    """Yield what is missing: the acts, or when they go on the air, or which carriers are theirs."""
    if "acts" not in plan.values:
        yield Unchecked(("/acts",))
    for act in plan.acts:
        needs = [f"{act.at}/line_check"] if times and act.on_min is None else []
        needs += [f"{act.at}/holds"] if holds and "holds" not in act.spec else []
        if needs:
            yield Unchecked(tuple(needs), act.holds)


def named(act: Act) -> str:
    """Name an act with whom to speak to: `harp (their engineer)`."""
    who = act.spec.get("who")
    return f"{act.id} ({who})" if who else act.id


def ends_at(act: Act) -> str:
    """Write when an act is off the air."""
    return "an hour that nobody wrote" if act.end_min is None else clock(act.end_min)


def ask(act: Act) -> str:
    """Say whom to ask."""
    return str(act.spec.get("who", f"{act.id}'s engineer"))
