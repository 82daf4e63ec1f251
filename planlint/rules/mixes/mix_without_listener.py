"""A mix that nobody hears.

What goes wrong: an old guest's mix was left in; its transmitter radiates for nobody, and whoever looks for a
free output finds none. A mix whose links are all unused tonight is left out; spare packs and listening lists
do not count as listeners.

Bad::

    plan_format: 1
    kind: plan
    people: {guest-a: {}}
    devices: {TX-7: {}, PK-7L: {}}
    mixes: {g-a: {for: guest-a, width: mono}, g-b: {width: mono}}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {person: guest-a, ear_feed: mono, balance_pct: -100}}

Good::

    plan_format: 1
    kind: plan
    people: {guest-a: {}}
    devices: {TX-7: {}, PK-7: {}}
    mixes: {g-a: {for: guest-a, width: mono}}
    links: {duo: {kind: ear, tx: TX-7, sends: mono, feed: {mono: g-a}, packs: {PK-7: {person: guest-a}}}}

Source: the plan's own lists; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.mixes import Carried, Mix, carried, mixes
from planlint.facts.packs import ear_links, main_packs, setting
from planlint.facts.split import FEEDS, SIDES, one_side, side
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.mixes_wording import concerned, lacking_mixes
from planlint.rules.packs import joined, sender

RULE = Rule(severity="warning", group="margin", source="the plan's own lists")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each mix without a listener, where every feed is known."""
    yield from lacking_mixes(plan)
    if not any(ear_links(plan)):
        yield Unchecked(("/links",))
        return
    unknown = tuple(f"{link.at}/feed" for link in ear_links(plan) if link.feed is None)
    resting = {mix for link in plan.links.values() if _resting(link) for mix in (link.feed or {}).values()}
    on = list(carried(plan))
    for mix in mixes(plan):
        mine = [fed for fed in on if fed.mix == mix.id]
        lacking = tuple(need for fed in mine for need in _lacking(plan, fed))
        if any(_heard(plan, fed) for fed in mine) or (not mine and mix.id in resting):
            continue
        if lacking:
            yield Unchecked(lacking, concerned(plan, mix))
        elif not mine and unknown:
            yield Unchecked(unknown, concerned(plan, mix))
        elif not any(one_side(plan, fed.link) for fed in mine if fed.socket in SIDES):
            yield _fault(plan, mix, mine)


def _resting(link: Link) -> bool:
    """Say whether a link's mixes are left out: it is unused, or its feed is a finding of its own."""
    return not link.used or (link.feed is not None and frozenset(link.feed) not in FEEDS)


def _heard(plan: Plan, fed: Carried) -> bool:
    packs = main_packs(fed.link)
    if fed.socket in SIDES:
        balances = [setting(plan, pack, "balance_pct").value for pack in packs]
        return any(balance == 0 or side(balance) == fed.socket for balance in balances)
    return bool(packs)


def _lacking(plan: Plan, fed: Carried) -> Iterator[str]:
    if "packs" not in fed.link.spec:
        yield f"{fed.link.at}/packs"
    if fed.socket in SIDES:
        for pack in main_packs(fed.link):
            if setting(plan, pack, "balance_pct").value is None:
                yield f"{pack.at}/balance_pct"


def _fault(plan: Plan, mix: Mix, mine: list[Carried]) -> Fault:
    if mine:
        where = joined(
            f"the {fed.socket} input of {sender(fed.link)}" if fed.socket in SIDES else sender(fed.link) for fed in mine
        )
        why = f"it goes to {where}, and no pack there is set to hear it"
    else:
        why = "no transmitter carries it"
    return Fault(
        mix.at,
        f"mix {mix.id} has no listener: {why}. Give it a pack, or take it off the desk and out of the plan.",
        concerned(plan, mix),
        {"mix": mix.id},
        tuple(Mark(fed.at, f"carried by {fed.link.id}") for fed in mine),
        key=True,
    )
