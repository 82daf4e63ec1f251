"""A pack on a split pair whose balance is not fully to one side: the neighbour's mix leaks in.

What goes wrong: the knob stands a little short of its end stop. Under a linear law 90 % leaves the neighbour's
mix at 20*log10((100 - 90)/100) = -20 dB, 50 % at -6 dB; other tapers differ. -100 is left, 100 right.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {ear_feed: mono, balance_pct: -90}, PK-7R: {ear_feed: mono, balance_pct: 100}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {ear_feed: mono, balance_pct: -100}, PK-7R: {ear_feed: mono, balance_pct: 100}}

Source: common practice, no source; the leak is computed under a linear law.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import Setting, setting
from planlint.facts.split import side, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rf.audio import balance_leak_db
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_split_packs, named, sender, subjects, text, value, who

RULE = Rule(
    severity="error",
    group="link",
    source="common practice, no source; leak computed under a linear law",
    accept={"leak_db": "higher"},
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack on a split pair whose balance is short of its end."""
    yield from lacking_split_packs(plan)
    for link in splits(plan):
        for pack in sorted(link.packs, key=lambda pack: pack.id):
            found = setting(plan, pack, "balance_pct")
            if found.value is None:
                yield Unchecked((f"{pack.at}/balance_pct",), subjects(link, pack))
            elif abs(found.value) < 100:
                yield _fault(link, pack, found)


def _fault(link: Link, pack: Pack, found: Setting) -> Fault:
    leak_db = round(balance_leak_db(float(found.value)), 1)
    turned = side(found.value)
    if turned is None:
        heard = f"{who(pack)} hears both people's mixes equally loud"
        end = "-100 for the left mix, 100 for the right one"
    else:
        heard = f"the neighbour's mix leaks in at about {leak_db:g} dB (estimate, linear law; other tapers differ)"
        end = "-100" if turned == "left" else "100"
    return Fault(
        f"{pack.at}/balance_pct",
        f"{named(pack)} has its balance at {text(found.value)} % on split pair {link.id}: {heard}. Turn {pack.id} to the end "
        f"stop, {end}; nothing changes at {sender(link)}.",
        subjects(link, pack),
        {"balance_pct": value(found.value), "leak_db": leak_db},
        (Mark(f"{link.at}/feed", "fed two mixes here", key=True), *house_mark(found)),
    )
