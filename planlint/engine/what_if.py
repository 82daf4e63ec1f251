"""What if: somebody else's carrier comes on, links go off. The rules judge both; nothing is written."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from planlint.assign.around import Neighbour, neighbours
from planlint.assign.clash import Air
from planlint.engine.propose import Opened, findings_of, key_of
from planlint.facts import Facts
from planlint.finding import Finding
from planlint.plan import build


class Guest(NamedTuple):
    """A carrier that comes on, in Hz, how wide it is taken to be, and who is beside it."""

    carrier_hz: int
    width_hz: int
    neighbours: tuple[Neighbour, ...]


class Worst(NamedTuple):
    """The link of ours that has the least room, and how far in Hz what is nearest to it is past its limit."""

    link: str
    margin_hz: int


class Change(NamedTuple):
    """What would change.

    Attributes:
        guests: the carriers that come on.
        off: the ids that go off.
        new: what the rules say that they did not say before.
        gone: what they no longer say. Waived findings count in neither.
        before, after: who has the least room; None where nothing is near anybody.
        quiet: packs that hear a transmitter which goes off, by id.
    """

    guests: tuple[Guest, ...]
    off: tuple[str, ...]
    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    before: Worst | None
    after: Worst | None
    quiet: tuple[str, ...]


def what_if(opened: Opened, add_hz: Sequence[int], off: Sequence[str]) -> Change:
    """Judge the plan with other people's carriers added and links switched off.

    Args:
        opened: the plan.
        add_hz: carriers in Hz; each counts as somebody else's, as wide as an unwritten emission.
        off: links of the plan that are not used, and others on the air that leave.
    """
    add = {_name(carrier_hz): carrier_hz for carrier_hz in sorted(set(add_hz))}
    values = _changed(opened, add, off)
    before = {key_of(finding): finding for finding in findings_of(opened, opened.resolved.values)}
    after = {key_of(finding): finding for finding in findings_of(opened, values)}
    then = Facts(build(opened.resolved._replace(values=values), opened.shelf))
    air = Air(then)
    guests = (
        Guest(carrier, air.widths[name], neighbours(air, name, carrier, then.carriers)) for name, carrier in add.items()
    )
    return Change(
        tuple(guests),
        tuple(sorted(off)),
        tuple(finding for key, finding in after.items() if key not in before and finding.waived is None),
        tuple(finding for key, finding in before.items() if key not in after and finding.waived is None),
        _worst(opened.facts),
        _worst(then),
        _hearers(opened.facts, off),
    )


def _name(carrier_hz: int) -> str:
    return f"added-{Decimal(carrier_hz) / 1_000_000}"


def _changed(opened: Opened, add: dict[str, int], off: Sequence[str]) -> dict[str, Any]:
    values = dict(opened.resolved.values)
    spectrum = dict(values.get("spectrum") or {})
    others = {name: spec for name, spec in (spectrum.get("others_on_air") or {}).items() if name not in off}
    others |= {name: {"carrier_mhz": Decimal(carrier_hz) / 1_000_000} for name, carrier_hz in add.items()}
    if add or "others_on_air" in spectrum:
        values["spectrum"] = {**spectrum, "others_on_air": others}
    for name in off:
        link = opened.facts.plan.links.get(name)
        if link is not None:
            section = link.entry_at.split("/")[1]
            there = dict(values.get(section) or {})
            there[name] = {**there.get(name, {}), "unused": "asked what if it is off"}
            values[section] = there
    return values


def _worst(facts: Facts) -> Worst | None:
    air = Air(facts)
    margins = (
        Worst(name, air.margin(name, facts.carriers))
        for name in sorted(facts.plan.links)
        if name in facts.carriers and any(name in ids for ids in air.sets)
    )
    near = [one for one in margins if one.margin_hz < 10**11]
    return min(near, key=lambda one: (one.margin_hz, one.link), default=None)


def _hearers(facts: Facts, off: Sequence[str]) -> tuple[str, ...]:
    """Return the packs that listen to a link which goes off: its own, and those that have it in a list."""
    links = [link for link in facts.plan.links.values() if link.used]
    own = {pack.id for link in links for pack in link.packs if link.id in off}
    lists = {pack.id for link in links for pack in link.packs if set(off) & set(pack.listens_to or ())}
    return tuple(sorted(own | lists))
