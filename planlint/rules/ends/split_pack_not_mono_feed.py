"""A pack on a split pair that feeds the ears stereo: its wearer hears in one ear only.

What goes wrong: the wearer's mix is on one side of the stereo carrier. Fed stereo, it reaches one ear; people
then turn it up. The pack goes on decoding stereo: what it feeds the ears is another setting.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    pack_defaults: {decodes: stereo, ear_feed: stereo}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {balance_pct: -100}, PK-7R: {ear_feed: mono, balance_pct: 100}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    pack_defaults: {decodes: stereo, ear_feed: stereo}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {ear_feed: mono, balance_pct: -100}, PK-7R: {ear_feed: mono, balance_pct: 100}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import setting
from planlint.facts.split import splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_split_packs, named, sender, subjects, who

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack on a split pair that does not feed the ears mono."""
    yield from lacking_split_packs(plan)
    for link in splits(plan):
        for pack in sorted(link.packs, key=lambda pack: pack.id):
            found = setting(plan, pack, "ear_feed")
            if found.value is None:
                yield Unchecked((f"{pack.at}/ear_feed",), subjects(link, pack))
            elif found.value != "mono":
                yield Fault(
                    f"{pack.at}/ear_feed",
                    f"{named(pack)} feeds the ears stereo on split pair {link.id}: {who(pack)} hears in one ear only. Set "
                    f"{pack.id} to ear feed mono and keep it decoding stereo; {sender(link)} goes on sending stereo.",
                    subjects(link, pack),
                    {"ear_feed": found.value},
                    (Mark(f"{link.at}/feed", "fed two mixes here", key=True), *house_mark(found)),
                )
