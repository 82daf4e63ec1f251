"""What is written on units: their labels, and which units are of one kind, so that they can be taken for each other."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts.unit_links import units_of
from planlint.plan.model import Device, Plan

#: The role of a unit whose model is not written, by its kind of link and what it does there.
_ROLES = {
    ("ear", "tx"): "ear-transmitter",
    ("ear", "pack"): "ear-pack",
    ("mic", "tx"): "mic-transmitter",
    ("mic", "rx"): "mic-receiver",
    ("comms", "tx"): "comms",
    ("comms", "rx"): "comms",
}
_WORDS = {
    "ear-transmitter": "transmitter",
    "ear-pack": "pack",
    "mic-transmitter": "microphone",
    "mic-receiver": "receiver",
    "comms": "comms unit",
    "other": "unit",
}

#: Signs that look alike on a small display or in poor light, each folded to one of them.
_ALIKE = str.maketrans("I|L7QODSZB", "1111000528")
_WORD = 3  # letters from which one letter's difference is a slip rather than a mark (A and B, L and R)


class Labelled(NamedTuple):
    """A unit with what is written on it; `kind` is its role, None where neither model nor link says it."""

    device: Device
    label: str
    kind: str | None

    @property
    def word(self) -> str:
        """What a message calls a unit of its kind."""
        return _WORDS.get(self.kind or "", self.kind or "unit")


def kind_of(plan: Plan, device: Device) -> str | None:
    """Return a unit's role by its model, else by its place on a link; None where neither is known."""
    if device.model is not None and device.model.role is not None:
        return device.model.role
    for name in sorted(plan.links):
        link = plan.links[name]
        jobs = [("tx", link.tx), ("rx", link.rx), *(("pack", pack.id) for pack in link.packs)]
        for job, unit in jobs:
            if unit == device.id and (link.kind or "", job) in _ROLES:
                return _ROLES[link.kind or "", job]
    return None


def labelled(plan: Plan) -> Iterator[Labelled]:
    """Yield each unit that has a label, by id."""
    for name in sorted(plan.devices):
        device = plan.devices[name]
        label = device.spec.get("label")
        if isinstance(label, str):
            yield Labelled(device, label, kind_of(plan, device))


def on_links(plan: Plan) -> set[str]:
    """Return the ids of the units on links."""
    return {unit for link in plan.links.values() for unit in units_of(link) if unit in plan.devices}


def plain(label: str) -> str:
    """Return a label as an eye reads it: one case, single spaces."""
    return " ".join(label.casefold().split())


def look_alike(first: str, second: str) -> bool:
    """Say whether two different labels are easily taken for each other.

    They are where only signs that look alike differ (`1 VOX`, `7 VOX`), or where one word of at least three
    letters differs by one letter (`3 KEYS`, `3 KEYZ`). A single letter or another number is a mark, not a likeness.
    """
    one, two = plain(first).split(), plain(second).split()
    if one == two or len(one) != len(two):
        return False
    if _folded(" ".join(one)) == _folded(" ".join(two)):
        return True
    differ = [(a, b) for a, b in zip(one, two, strict=True) if a != b]
    if len(differ) != 1:
        return False
    a, b = differ[0]
    return a.isalpha() and b.isalpha() and min(len(a), len(b)) >= _WORD and _one_letter_apart(a, b)


def _folded(text: str) -> str:
    return text.upper().translate(_ALIKE)


def _one_letter_apart(first: str, second: str) -> bool:
    """Say whether one letter put in, left out or changed makes one word of the other."""
    shorter, longer = sorted((first, second), key=len)
    if len(longer) - len(shorter) > 1:
        return False
    if len(longer) == len(shorter):
        return sum(a != b for a, b in zip(first, second, strict=True)) == 1
    return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))
