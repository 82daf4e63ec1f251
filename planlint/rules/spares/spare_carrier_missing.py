"""Too few spare carriers of a kind.

What goes wrong: at 20:55 a carrier dies and somebody chooses another one by ear, with eight transmitters on the air. One
spare for every six links of a kind, begun sixes counted (`policy.spares_per_links`), is little enough. A kind without
an entry in `spares_mhz` is not checked; `[]` is judged.

Bad::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}}
    spares_mhz: {mic: []}

Good::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}}
    spares_mhz: {mic: [555.975]}

Whether a spare can be used is said by spare-breaks-plan. Links that stand in for others ask for none.

Source: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.spare_wording import KIND_WORDS, lacking_spares, links_of_kind, spares_of

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind of links that has fewer spares than the house asks for."""
    yield from lacking_spares(plan)
    if "spares_mhz" not in plan.values:
        return
    per = int(limits.number(plan, "spares_per_links"))
    for kind, word in KIND_WORDS.items():
        links = [link for link in links_of_kind(plan, kind) if link.stands_in_for is None]
        if not links:
            continue
        if kind not in plan.section("spares_mhz"):
            yield Unchecked((f"/spares_mhz/{kind}",), tuple(link.id for link in links))
            continue
        have, want = len(spares_of(plan, kind)), math.ceil(len(links) / per)
        if have < want:
            yield Fault(
                f"/spares_mhz/{kind}",
                f"{len(links)} {word if len(links) > 1 else word.removesuffix('s')} and {have} spare carrier{'' if have == 1 else 's'} for them; the house asks for {want}, one "
                f"for every {per}. Find {want - have} more while there is time, and keep it with every unit that may need it.",
                tuple(link.id for link in links),
                {"links": len(links), "spares": have, "wanted": want},
                key=True,
            )
