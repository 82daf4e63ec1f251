"""A unit that was lent and still has the borrower's settings.

What goes wrong: PK-7L was a guest's half of a split pair for one night and goes back to keys with mono in the ears and the
balance at the end stop: half the mix is gone, and nobody knows why. A record says `lent_to` for every unit that somebody
else had.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-7L: {}}
    pack_defaults: {ear_feed: stereo, balance_pct: 0}
    links: {ear-4: {kind: ear, packs: {PK-7L: {}}}}
    found: {PK-7L: {lent_to: guest singer, ear_feed: mono, balance_pct: -100}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-7L: {}}
    pack_defaults: {ear_feed: stereo, balance_pct: 0}
    links: {ear-4: {kind: ear, packs: {PK-7L: {}}}}
    found: {PK-7L: {lent_to: guest singer, ear_feed: stereo, balance_pct: 0}}

Source: what was found beside what the plan wants; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.as_set import Differs, Found, differing, meant, records, sent
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.found_wording import found_words, lacking_record, marks, meant_words, subjects
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="link", source="what was found beside what the plan wants")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each lent unit whose settings differ from the plan's, and what was not looked at."""
    yield from lacking_record(plan)
    for found in records(plan):
        if found.lent_to is None:
            continue
        unseen = tuple(f"{found.at}/{key}" for key in meant(plan, found.unit) if not found.known(key))
        if unseen:
            yield Unchecked(unseen, subjects(plan, found))
        wrong = list(differing(plan, found))
        if wrong:
            yield _fault(plan, found, wrong)


def _fault(plan: Plan, found: Found, wrong: list[Differs]) -> Fault:
    taken = sent(plan, found)
    by_hand = [item.key for item in wrong if taken is not None and item.key not in taken]
    how = f" No send takes {joined(by_hand)} over: enter it by hand." if by_hand else ""
    return Fault(
        f"{found.at}/{wrong[0].key}",
        f"{found.unit} was lent ({found.lent_to}) and still has {found_words(wrong)}. Before it goes back to its own link: "
        f"{meant_words(wrong)}.{how}",
        subjects(plan, found),
        {"fields": ", ".join(item.key for item in wrong), "lent_to": str(found.lent_to)},
        marks(wrong),
    )
