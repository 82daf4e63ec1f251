"""A setting that stayed in a pack because it was not among those that were sent to it.

What goes wrong: the pack was set low for somebody else; the send that should have made it right takes carrier and name
over and leaves the limiter where it was. Nobody looks at it again. What is sent stands in the record (`sent`) or with the
model (`takes_by_send`). A pack that was lent is judged by pack-lent-not-restored.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, takes_by_send: [carrier_mhz, label]}}
    devices: {PK-5: {model: pack-n}}
    pack_defaults: {limiter_db: -12}
    links: {ear-5: {kind: ear, packs: {PK-5: {}}}}
    found: {PK-5: {limiter_db: -24}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, takes_by_send: [carrier_mhz, label]}}
    devices: {PK-5: {model: pack-n}}
    pack_defaults: {limiter_db: -12}
    links: {ear-5: {kind: ear, packs: {PK-5: {}}}}
    found: {PK-5: {limiter_db: -12}}

Source: what was found beside what the plan wants; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.as_set import PACK_SETTINGS, Differs, Found, differing, records, sent
from planlint.facts.packs import worn
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.found_wording import found_words, lacking_record, marks, meant_words, subjects
from planlint.rules.packs import joined, lacking_packs

RULE = Rule(severity="warning", group="link", source="what was found beside what the plan wants")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack with settings that differ from the plan and were not sent."""
    yield from lacking_record(plan)
    if "found" not in plan.values:
        return
    yield from lacking_packs(plan)
    packs = {pack.id for _, pack in worn(plan)}
    for found in records(plan):
        if found.unit not in packs or found.lent_to is not None:
            continue
        wrong = [item for item in differing(plan, found) if item.key in PACK_SETTINGS]
        taken = sent(plan, found)
        if wrong and taken is None:
            yield Unchecked((f"{found.at}/sent",), subjects(plan, found))
        left = [item for item in wrong if item.key not in (taken or ())]
        if left and taken is not None:
            yield _fault(plan, found, left, taken)


def _fault(plan: Plan, found: Found, left: list[Differs], taken: frozenset[str]) -> Fault:
    takes = f"takes only {joined(sorted(taken))}" if taken else "takes nothing"
    return Fault(
        f"{found.at}/{left[0].key}",
        f"{found.unit} still has {found_words(left)}; the plan wants {meant_words(left)}, and the send {takes}: it will stay "
        f"there. Enter it on {found.unit} by hand and look at it there.",
        subjects(plan, found),
        {"fields": ", ".join(item.key for item in left)},
        marks(left),
    )
