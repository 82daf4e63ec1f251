"""What every unit must be set to under a plan, and what it was found to hold.

A carrier counts in Hz; every other value as the plan writes it. A link whose ends are not all written stands for
those: somebody must set them. Units of a link that is not used tonight keep whatever they hold: nothing is known
of their settings on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.diff.tree import order, same
from planlint.facts.groups import channels, holders, overrides
from planlint.plan.model import Device, Link, Pack, Plan
from planlint.plan.quantity import to_hz

Fields = dict[str, Any]
State = dict[str, Fields]

#: Keys of a device that are set on the unit, or fixed to it.
ON_THE_UNIT = (
    *("label", "address", "network", "may_tune", "controls", "tone_key", "encryption", "audio_mode"),
    *("firmware", "gauge"),
)  # fmt: skip
LIST = "listens_to/"
GROUP = "groups/"
CARRIER = "carrier_mhz"
NONE = "none"
_UNKNOWN = "unknown"


class Touches(NamedTuple):
    """What must be entered where.

    Attributes:
        fields: for each unit to touch its fields, in order.
        unread: for each unit those of them of which the old value is not known.
        leave: the other units of the new plan.
    """

    fields: Mapping[str, tuple[str, ...]]
    unread: Mapping[str, tuple[str, ...]]
    leave: tuple[str, ...]

    @property
    def entries(self) -> int:
        """How many entries of listening lists must be entered again."""
        return sum(field.startswith(LIST) for fields in self.fields.values() for field in fields)

    @property
    def units(self) -> int:
        """How many units must be touched for more than entries of their listening lists."""
        return sum(any(not field.startswith(LIST) for field in fields) for fields in self.fields.values())


def wanted(plan: Plan) -> State:
    """Return what every unit must be set to: for each unit its fields and their values."""
    state: State = {}
    for link in plan.links.values():
        if link.used:
            for unit, fields in _of_link(plan, link):
                _merge(state.setdefault(unit, {}), fields)
    for device in plan.devices.values():
        fields = {**_of_device(plan, device), **state.get(device.id, {})}
        if fields.keys() - {"model"} or device.id in state:  # a model alone is nothing that could be set
            state[device.id] = fields
    for group in plan.section("groups"):
        for unit in holders(plan, group) or ():
            held = {**channels(plan, group), **overrides(plan, unit, group)}
            stored = {str(channel): held[channel].carrier_hz for channel in sorted(held)}
            state.setdefault(unit, {})[f"{GROUP}{group}"] = stored
    return state


def as_found(state: State, found: Mapping[str, Any]) -> State:
    """Return a state in which what a unit was found to hold stands for what it was meant to hold; None is unknown."""
    real = {unit: dict(fields) for unit, fields in state.items()}
    for unit, fields in found.items():
        for field, value in fields.items() if isinstance(fields, dict) else ():
            known = None if value == _UNKNOWN else to_hz(value, "mhz") if field == CARRIER else value
            real.setdefault(unit, {})[field] = known
    return real


def touches(old: State, new: State) -> Touches:
    """Return every unit whose settings must be entered: those that are wanted and were another, or not known."""
    fields: dict[str, tuple[str, ...]] = {}
    unread: dict[str, tuple[str, ...]] = {}
    for unit in sorted(new):
        before = old.get(unit, {})
        differing = [field for field, value in new[unit].items() if value is not None and not _is(before, field, value)]
        differing += [field for field in before if _must_go(field, new[unit])]
        if differing:
            fields[unit] = tuple(sorted(differing))
            unknown = tuple(field for field in fields[unit] if before.get(field) is None)
            if unknown:
                unread[unit] = unknown
    return Touches(fields, unread, tuple(unit for unit in sorted(new) if unit not in fields))


def _is(before: Fields, field: str, value: Any) -> bool:
    return before.get(field) is not None and same(before[field], value)


def _must_go(field: str, fields: Fields) -> bool:
    """Say whether an entry of a listening list must be taken out: the list is written, and without it."""
    return field.startswith(LIST) and field not in fields and LIST in fields


def _merge(into: Fields, fields: Fields) -> None:
    """Add fields of one more link; where a unit is on two links that want different things, it has both."""
    for field, value in fields.items():
        if field in into and not same(into[field], value):
            both = [*(into[field] if isinstance(into[field], list) else [into[field]]), value]
            into[field] = sorted((one for one in both if one is not None), key=order)
        else:
            into[field] = value


def _of_link(plan: Plan, link: Link) -> Iterator[tuple[str, Fields]]:
    carrier: Fields = {CARRIER: link.carrier_hz}
    entry = link.spec if link.entry_at == link.at else plan.section("carriers").get(link.id)
    power = entry.get("power_mw") if isinstance(entry, dict) else None
    if link.tx:
        yield link.tx, carrier | _written({**link.spec, "power_mw": power}, "power_mw", "sends", "input_gain_db")
    if link.rx:
        yield link.rx, carrier
    for pack in link.packs:
        device = plan.devices.get(pack.id)
        yield pack.id, {**carrier, **_settings(pack, device), **_listening(plan, pack)}
    if not link.tx or not (link.rx or "packs" in link.spec):
        own = {} if link.tx else _written({"power_mw": power}, "power_mw")
        yield link.id, carrier | own


def _written(spec: Mapping[str, Any], *keys: str) -> Fields:
    return {key: spec[key] for key in keys if spec.get(key) is not None}


def _settings(pack: Pack, device: Device | None) -> Fields:
    """Return a pack's settings: its own, else the unit's, else the house's."""
    fields = dict(pack.settings)
    for key in ON_THE_UNIT:
        if device is not None and key in device.spec and key not in pack.own:
            fields[key] = device.spec[key]
    return fields


def _listening(plan: Plan, pack: Pack) -> Fields:
    if pack.listens_to is None:
        return {}
    entries: Fields = {LIST: None}
    for name in pack.listens_to:
        link = plan.links.get(name)
        entries[f"{LIST}{name}"] = link.carrier_hz if link and link.used else None
    return entries


def _of_device(plan: Plan, device: Device) -> Fields:
    fields = _written(device.spec, *ON_THE_UNIT)
    hired = plan.section("hired").get(device.id)
    if isinstance(hired, dict) and "firmware" in hired:
        fields["firmware"] = hired["firmware"]
    if device.model_id:
        fields["model"] = device.model_id
    return fields
