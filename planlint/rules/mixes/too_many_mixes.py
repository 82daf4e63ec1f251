"""More mixes than the in-ear transmitters can carry.

What goes wrong: a stereo mix takes a whole transmitter, a mono mix half of one (a split pair); one that sends a wide
emission counts as often as its model says `carries_links`. What is left over
stands on the desk and reaches nobody. Stereo mixes + half the mono mixes, rounded up, must not be more than the
transmitters.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}}
    devices: {TX-1: {model: tx-n}}
    mixes: {vox: {width: stereo}, gtr: {width: mono}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}}
    devices: {TX-1: {model: tx-n}}
    mixes: {vox: {width: mono}, gtr: {width: mono}}

Source: counted: each transmitter has two inputs; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.mixes import mixes, transmitters_needed
from planlint.facts.wide_emissions import carries, emissions, units_of_all
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.mixes_wording import concerned, lacking_mixes

RULE = Rule(severity="error", group="link", source="counted; common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where the mixes need more transmitters than the plan has."""
    yield from lacking_mixes(plan)
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    found = mixes(plan)
    unknown = [mix for mix in found if mix.width is None]
    if unknown:
        yield Unchecked(tuple(f"{mix.at}/width" for mix in unknown), concerned(plan, *unknown))
    stereo = sum(1 for mix in found if mix.width == "stereo")
    mono = sum(1 for mix in found if mix.width == "mono")
    needed = transmitters_needed(stereo, mono)
    ours, maybe = _transmitters(plan)
    if "devices" in plan.values and not ours and not maybe and found:
        yield Unchecked(("/links",), concerned(plan, *found))
    places = sum(_places(plan, name) for name in ours)
    if not (ours or maybe) or needed <= places:
        return
    if maybe:
        yield Unchecked(tuple(f"{plan.devices[name].at}/model" for name in maybe), tuple(maybe))
        return
    fewer = "Make stereo mixes mono and pair them, share a mix" if stereo else "Let people share a mix"
    yield Fault(
        "/mixes",
        f"{stereo} stereo and {mono} mono mixes need {needed} in-ear transmitters, the plan has {_room(len(ours), places)}: "
        f"{needed - places} too few. {fewer}, or bring more transmitters and carriers.",
        tuple(ours) or concerned(plan, *found),
        {"stereo_mixes": stereo, "mono_mixes": mono, "needed": needed, "transmitters": len(ours)},
        key=True,
    )


def _room(transmitters: int, places: int) -> str:
    return str(transmitters) if transmitters == places else f"{transmitters} with room for {places} links"


def _places(plan: Plan, name: str) -> int:
    """Return how many links a transmitter carries: one, or those of its wide emission."""
    wide = next((emission for emission in emissions(plan) if name in units_of_all(emission)[0]), None)
    if wide is None:
        return 1
    ears = sum(1 for link in wide.links if link.kind == "ear")
    return max(carries(plan, wide).links or 0, ears)


def _transmitters(plan: Plan) -> tuple[list[str], list[str]]:
    """Return the in-ear transmitters, and the units of unknown model that may be some."""
    sending = {link.tx for link in plan.links.values() if link.kind == "ear"}
    other_jobs = {link.rx for link in plan.links.values()} | {
        name
        for link in plan.links.values()
        for name in (link.tx if link.kind != "ear" else None, *(p.id for p in link.packs))
    }
    ours, maybe = [], []
    for name in sorted(plan.devices):
        model = plan.devices[name].model
        if name in sending or (model is not None and model.role == "ear-transmitter"):
            ours.append(name)
        elif model is None and name not in other_jobs:
            maybe.append(name)
    return ours, maybe
