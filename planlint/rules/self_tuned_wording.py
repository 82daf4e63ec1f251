"""What the rules about self-tuning sets share: what is missing where the band of a set is not written."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts.self_tuning import bands
from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking_bands(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where the edges of a set's band are not written."""
    known = bands(plan)
    every = [(link.id, link.self_tuned) for link in plan.links.values() if link.used]
    every += [(other.id, other.self_tuned) for other in plan.others.values()]
    without = sorted((name, band) for name, band in every if band is not None and band not in known)
    if without:
        needs = dict.fromkeys(f"/spectrum/self_tuning_bands/{band}" for _, band in without)
        yield Unchecked(tuple(needs), tuple(name for name, _ in without))
