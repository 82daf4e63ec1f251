"""What only a comparison of two plans can show: what must be entered again, and what was forgotten."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.diff.change import Consequence
from planlint.diff.origin import Notice, links_of, places
from planlint.diff.safety import wearer
from planlint.diff.state import CARRIER, LIST, State, Touches
from planlint.diff.words import field_words, value_words
from planlint.plan.model import Plan


def rows(old: Plan, new: Plan, before: State, after: State, touched: Touches) -> Iterator[Notice]:
    """Yield what follows for the units, by unit; arguments as for `safety`, and what must be entered where."""
    yield from _entered(new, after, touched)
    yield from _lists(new, touched)
    for unit in sorted(after):
        yield from _person(old, new, unit, before, after)
        yield from _sent(new, unit, before, touched)


def takes_by_send(plan: Plan, unit: str) -> frozenset[str] | None:
    """Return the fields that a pack takes over when its transmitter sends to it; None where that is unwritten."""
    device = plan.devices.get(unit)
    written = device.model.spec.get("takes_by_send") if device and device.model else None
    return None if written is None else frozenset(map(str, written))


def _entered(new: Plan, after: State, touched: Touches) -> Iterator[Notice]:
    """Yield for each place that fields follow from which units must be set to what."""
    grouped: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for unit, fields in touched.fields.items():
        for field in fields:
            grouped.setdefault(places(new, unit, field)[:1], []).append((unit, field))
    for members in grouped.values():
        said: dict[str, list[str]] = {}
        for unit, field in members:
            what = value_words(field, after[unit].get(field))
            words = field_words(CARRIER if field.startswith(LIST) else field)
            on = f"the list of {unit}" if field.startswith(LIST) else unit
            said.setdefault(f"{words} {what}", []).append(on)
        message = "; ".join(f"enter {what} on {', '.join(sorted(units))}" for what, units in sorted(said.items()))
        units = tuple(sorted({unit for unit, _ in members}))
        yield Notice(places(new, *members[0]), Consequence("enter-again", "note", message, units))


def _lists(new: Plan, touched: Touches) -> Iterator[Notice]:
    for unit, fields in touched.fields.items():
        entries = [field.removeprefix(LIST) for field in fields if field.startswith(LIST)]
        if not entries:
            continue
        count = f"{len(entries)} entr{'y' if len(entries) == 1 else 'ies'}"
        message = (
            f"{count} in the list of {unit} must be entered again: {', '.join(entries)}. Else you listen to nobody."
        )
        for name in entries:
            found = Consequence("engineer-list-stale", "warning", message, (unit,), {"entries": len(entries)})
            yield Notice(places(new, unit, f"{LIST}{name}"), found)


def _person(old: Plan, new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    first, last = wearer(old, unit), wearer(new, unit)
    label = after[unit].get("label")
    if first is None or last is None or first == last or label is None or before.get(unit, {}).get("label") != label:
        return
    if any(unit == link.rx for link in links_of(new, unit)):
        return
    message = f"{unit} still says {label}, and goes from {first} to {last}: new label, peel the old one."
    found = Consequence("label-person-moved", "warning", message, (unit,), {"label": str(label)})
    at = [f"{link.at}/packs/{unit}/person" for link in links_of(new, unit)] + [
        f"{link.at}/person" for link in links_of(new, unit)
    ]
    yield Notice((*at, *(link.at for link in links_of(new, unit))), found)


def _sent(new: Plan, unit: str, before: State, touched: Touches) -> Iterator[Notice]:
    """Yield what a send does not bring to a pack, where its model says what it takes by a send."""
    takes = takes_by_send(new, unit)
    fields = [field for field in touched.fields.get(unit, ()) if takes is not None and field not in takes]
    if not takes or not fields or unit not in before:
        return
    if "label" in fields:
        message = f"{unit} takes no name by a send: its display still shows the last one. Enter it by hand."
        yield Notice(places(new, unit, "label"), Consequence("display-name-old", "note", message, (unit,)))
    kept = [field for field in fields if field not in {"label", "model", CARRIER} and "/" not in field]
    if kept:
        named = ", ".join(field_words(field) for field in kept)
        message = f"{unit}: {named} {'is' if len(kept) == 1 else 'are'} not among what a send brings. Enter by hand."
        found = Consequence("left-from-partial-send", "warning", message, (unit,))
        yield Notice(places(new, unit, kept[0]), found)
