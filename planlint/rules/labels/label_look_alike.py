"""Two units of one kind whose labels are easily taken for each other.

What goes wrong: `1 VOX` and `7 VOX` are one stroke apart at arm's length, `3 KEYS` and `3 KEYZ` one letter. The
wrong pack is handed over. Only signs that look alike (1 I L 7, 0 O Q D, 5 S, 2 Z, 8 B), and one letter in a word of
at least three, are counted: `S1` and `S2`, `GUEST A` and `GUEST B` are told apart by a mark that people look at.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack}}
    devices: {PK-1: {model: pack-n, label: 1 VOX}, PK-7: {model: pack-n, label: 7 VOX}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack}}
    devices: {PK-1: {model: pack-n, label: 1 VOX}, PK-7: {model: pack-n, label: 7 GUEST}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from planlint.facts import Facts
from planlint.facts.labels import labelled, look_alike
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.label_wording import lacking_kinds, lacking_labels

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each two units of one kind whose labels look alike."""
    yield from lacking_labels(plan)
    yield from lacking_kinds(plan)
    for one, two in combinations(labelled(plan), 2):
        if one.kind is None or one.kind != two.kind or not look_alike(one.label, two.label):
            continue
        yield Fault(
            f"{two.device.at}/label",
            f"'{one.label}' ({one.device.id}) and '{two.label}' ({two.device.id}) look the same at arm's length. Change one of "
            "them, on the unit and at the other end of its link.",
            with_links(plan, [one.device.id, two.device.id]),
            {"label": one.label, "other_label": two.label},
            (Mark(f"{one.device.at}/label", f"{one.device.id} says '{one.label}'"),),
        )
