"""What units were found to hold after a show, beside what the plan wants of them.

A setting that a record leaves out was not looked at; `unknown` was looked for and not found. Carriers count in Hz.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.ends import ends
from planlint.facts.packs import Setting
from planlint.facts.settings import of_unit, pack_of
from planlint.plan.model import Device, Link, Plan
from planlint.plan.quantity import mhz, to_hz

UNKNOWN = "unknown"
CARRIER = "carrier_mhz"

#: What is set on a pack, and what a transmitter may send to it.
PACK_SETTINGS = (
    *("decodes", "ear_feed", "balance_pct", "limiter_db", "gain_db", "low_cut_hz", "high_cut_khz", "volume"),
    *("may_tune", "controls", "tone_key", "encryption", "squelch"),
)  # fmt: skip
_UNIT_SETTINGS = ("may_tune", "controls", "tone_key", "encryption", "gauge")
_SENDER_SETTINGS = ("sends", "input_gain_db")


class Found(NamedTuple):
    """The record of one unit.

    Attributes:
        unit: its id.
        fields: what it showed, as written.
        at: pointer to the record.
        lent_to: who had it, or None.
        tape: words on tape on it, or None.
    """

    unit: str
    fields: Mapping[str, Any]
    at: str
    lent_to: str | None
    tape: str | None

    def known(self, key: str) -> bool:
        """Say whether a setting was looked at and seen."""
        return key in self.fields and self.fields[key] != UNKNOWN


class Differs(NamedTuple):
    """A setting that was found other than the plan wants it."""

    key: str
    found: Any
    meant: Setting


def records(plan: Plan) -> list[Found]:
    """Return the record of every unit of the plan, by id."""
    made = []
    for unit, spec in sorted(plan.section("found").items()):
        if isinstance(spec, dict) and unit in plan.devices:
            at = f"/found/{escape(unit)}"
            made.append(Found(unit, spec, at, spec.get("lent_to"), spec.get("tape")))
    return made


def record_of(plan: Plan, unit: str) -> Found | None:
    """Return one unit's record, or None."""
    return next((found for found in records(plan) if found.unit == unit), None)


def links_of(plan: Plan, unit: str) -> list[Link]:
    """Return the links used tonight that a unit is an end of, by id; listening to one does not count."""
    return [
        plan.links[name]
        for name in sorted(plan.links)
        if plan.links[name].used
        and any(end.device == unit and end.job != "listens" for end in ends(plan, plan.links[name]))
    ]


def meant(plan: Plan, unit: str) -> dict[str, list[Setting]]:
    """Return what a unit must be set to: for each setting that is written what its links want, one for each link."""
    device = plan.devices[unit]
    wanted: dict[str, list[Setting]] = {}
    for link in links_of(plan, unit):
        end = next(end for end in ends(plan, link) if end.device == unit)
        if pack_of(plan, link, end) is not None:
            for key in (*PACK_SETTINGS, "gauge"):
                _add(wanted, key, of_unit(plan, link, end, key))
        elif end.job == "transmitter":
            for key in _SENDER_SETTINGS:
                _add(wanted, key, Setting(link.spec.get(key), f"{link.at}/{key}"))
            _add(wanted, "power_mw", Setting(link.power_mw, f"{link.entry_at}/power_mw"))
    for key in _UNIT_SETTINGS:
        if key not in wanted:
            _add(wanted, key, Setting(device.spec.get(key), f"{device.at}/{key}"))
    return wanted


def differing(plan: Plan, found: Found) -> Iterator[Differs]:
    """Yield each setting of a unit that was found other than any of its links wants it; carriers are apart."""
    for key, wanted in meant(plan, found.unit).items():
        if found.known(key) and not any(same(found.fields[key], setting.value) for setting in wanted):
            yield Differs(key, found.fields[key], wanted[0])


def sent(plan: Plan, found: Found) -> frozenset[str] | None:
    """Return the settings that were sent to a unit: as recorded, else what its model takes; None where unwritten."""
    written = found.fields.get("sent")
    return frozenset(map(str, written)) if written is not None else takes_by_send(plan.devices[found.unit])


def takes_by_send(device: Device) -> frozenset[str] | None:
    """Return the settings that a unit takes over when its transmitter sends to it; None where unwritten."""
    written = device.model.spec.get("takes_by_send") if device.model else None
    return None if written is None else frozenset(map(str, written))


def carrier_hz(found: Found) -> int | None:
    """Return the carrier that a unit showed in Hz, or None."""
    return to_hz(found.fields[CARRIER], "mhz") if found.known(CARRIER) else None


def same(first: Any, second: Any) -> bool:
    """Say whether two settings are equal: text as it is, numbers by value."""
    if isinstance(first, str) or isinstance(second, str):
        return bool(first == second)
    return second is not None and bool(float(first) == float(second))


def words(key: str, value: Any) -> str:
    """Write a setting as a crew reads it: `limiter -24 dB`, `balance -100 %`, `carrier 478.200`."""
    name, _, unit = key.rpartition("_")
    units = {"db": " dB", "pct": " %", "hz": " Hz", "khz": " kHz", "mw": " mW", "mhz": ""}
    if not name or unit not in units:
        name, unit = key, ""
    if isinstance(value, str):
        return f"{name.replace('_', ' ')} {value}"
    number = mhz(to_hz(value, "mhz")) if unit == "mhz" else f"{float(value):g}"
    return f"{name.replace('_', ' ')} {number}{units.get(unit, '')}"


def _add(wanted: dict[str, list[Setting]], key: str, setting: Setting) -> None:
    if setting.value is not None:
        wanted.setdefault(key, []).append(setting)
