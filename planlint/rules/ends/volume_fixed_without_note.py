"""A pack whose volume is fixed, without a word why.

What goes wrong: the wearer cannot turn down a feedback burst. Some ask for it; then `because` says so and the
wearer knows. The caution to print beside it is another rule's.

Bad::

    plan_format: 1
    kind: plan
    people: {keys: {}}
    devices: {TX-4: {}, PK-4: {}}
    links: {keys: {kind: ear, tx: TX-4, packs: {PK-4: {person: keys, volume: fixed}}}}

Good::

    plan_format: 1
    kind: plan
    people: {keys: {}}
    devices: {TX-4: {}, PK-4: {}}
    links:
      keys:
        kind: ear
        tx: TX-4
        packs: {PK-4: {person: keys, volume: fixed, because: keys asked for it and was told}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import reason, setting, worn
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_packs, named, subjects, who

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack with a fixed volume and no reason."""
    yield from lacking_packs(plan)
    for link, pack in worn(plan):
        volume = setting(plan, pack, "volume")
        if volume.value is None:
            yield Unchecked((volume.at,), subjects(link, pack))
        elif volume.value == "fixed" and reason(link, pack) is None:
            yield Fault(
                f"{pack.at}/volume",
                f"{named(pack)}: volume fixed, and no reason is written. {who(pack)} cannot turn down a burst: free it, "
                "or tell whoever wears it, write because, and keep a hand on the mute at the desk.",
                subjects(link, pack),
                {"volume": volume.value},
                house_mark(volume),
            )
