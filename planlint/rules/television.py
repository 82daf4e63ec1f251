"""What the TV rules need, and what is missing for them."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import raster
from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is missing for judging carriers by the town's live TV channels."""
    if not isinstance(plan.section("spectrum").get("tv_occupied"), list):
        yield Unchecked(("/spectrum/tv_occupied",))
    elif raster(plan)[0] is None:
        yield Unchecked(("/spectrum/tv_raster", plan.region_at))
    missing = tuple(
        name for name in sorted(plan.links) if plan.links[name].wants_carrier and name not in facts.carriers
    )
    if missing:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in missing), missing)
    elif not plan.links:
        yield Unchecked(("/links",))
