"""The two ends of a link that bear different names.

What goes wrong: TX-4 says KEYS and PK-4 says KEYZ; in the dark somebody turns the wrong one down. A transmitter is
compared with the one pack it feeds, a microphone with its receiver. Split pairs and links with several packs have a
name for each person and are not compared; spare packs neither.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-4: {label: 4 KEYS}, PK-4: {label: 4 KEYZ}}
    links: {ear-4: {kind: ear, tx: TX-4, packs: {PK-4: {}}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-4: {label: 4 KEYS}, PK-4: {label: 4 KEYS}}
    links: {ear-4: {kind: ear, tx: TX-4, packs: {PK-4: {}}}}

Letter case and extra spaces are not counted.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.labels import labelled, plain
from planlint.facts.packs import main_packs
from planlint.facts.split import is_split
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.label_wording import lacking_labels

RULE = Rule(severity="warning", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose two ends bear different names."""
    yield from lacking_labels(plan)
    labels = {item.device.id: item for item in labelled(plan)}
    for name in sorted(plan.links):
        one, two = _ends(plan.links[name])
        if one not in labels or two not in labels or one == two:
            continue
        here, there = labels[one], labels[two]
        if plain(here.label) != plain(there.label):
            yield Fault(
                f"{there.device.at}/label",
                f"{name}: {one} says '{here.label}', {two} says '{there.label}'. Write one name on both, and on both displays.",
                (name, one, two),
                {"label": here.label, "other_label": there.label},
                (Mark(f"{here.device.at}/label", f"{one} says '{here.label}'"),),
            )


def _ends(link: Link) -> tuple[str, str]:
    """Return the two units of a link that should bear one name; twice an empty id where there are no such two."""
    packs = main_packs(link)
    if link.wide_emission is not None:  # one unit serves several links and cannot bear all their names
        return "", ""
    if is_split(link) or len(packs) > 1:
        return "", ""
    other = packs[0].id if packs else link.rx
    return (link.tx, other) if link.tx and other else ("", "")
