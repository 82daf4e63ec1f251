"""Every carrier that the plan writes, with the types of units that must show it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.ends import ends
from planlint.plan.model import Device, Model, Plan


class Written(NamedTuple):
    """A carrier as the author wrote it.

    Attributes:
        name: what a message calls it.
        mhz: the number with its decimals.
        at: its pointer.
        subjects: the link, other or units concerned.
        models: the types of the units that must show it, as far as they are written.
        unknown_steps: pointers to write so that every unit's step is known.
    """

    name: str
    mhz: int | Decimal
    at: str
    subjects: tuple[str, ...]
    models: tuple[Model, ...]
    unknown_steps: tuple[str, ...]

    @property
    def steps_unknowable(self) -> bool:
        """Whether the units are somebody else's, of which the plan says nothing."""
        return not self.models and not self.unknown_steps


def written_carriers(plan: Plan) -> Iterator[Written]:
    """Yield the carriers of links, others, spares, user groups and overrides, in this order, each by id."""
    yield from _links(plan)
    for name in sorted(plan.others):
        other = plan.others[name]
        if "carrier_mhz" in other.spec:
            yield Written(name, other.spec["carrier_mhz"], other.carrier_at, (name,), (), ())
    yield from _spares(plan)
    yield from _groups(plan)


def _links(plan: Plan) -> Iterator[Written]:
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.carrier_written is not None:
            units = [plan.devices[end.device] for end in ends(plan, link)]
            lacking = f"{link.at}/mic" if link.kind == "mic" else f"{link.at}/tx"
            yield _written(name, link.carrier_written, link.carrier_at, (name,), units, lacking)


def _spares(plan: Plan) -> Iterator[Written]:
    for spare in plan.spares:
        kind, _, index = spare.at.removeprefix("/spares_mhz/").partition("/")
        number = plan.section("spares_mhz")[kind][int(index)]
        links = [plan.links[name] for name in sorted(plan.links) if plan.links[name].kind == spare.kind]
        units = {end.device: plan.devices[end.device] for link in links for end in ends(plan, link)}
        yield _written(f"the {kind} spare", number, spare.at, (), units.values(), "/links")


def _groups(plan: Plan) -> Iterator[Written]:
    for group, spec in sorted(plan.section("groups").items()):
        if isinstance(spec, dict):
            units = [plan.devices[name] for name in spec.get("stored_in", ()) if name in plan.devices]
            at = f"/groups/{escape(group)}/carriers_mhz"
            lacking = f"/groups/{escape(group)}/stored_in"
            yield from _channels(f"{group} channel", spec.get("carriers_mhz"), at, units, lacking)
    for device, held in sorted(plan.section("group_overrides_mhz").items()):
        units = [plan.devices[device]] if device in plan.devices else []
        for group, carriers in sorted(held.items()) if isinstance(held, dict) else ():
            at = f"/group_overrides_mhz/{escape(device)}/{escape(group)}"
            yield from _channels(f"{device}'s {group} channel", carriers, at, units, "/devices")


def _channels(name: str, carriers: Any, at: str, units: list[Device], lacking: str) -> Iterator[Written]:
    for channel, number in carriers.items() if isinstance(carriers, Mapping) else ():
        subjects = tuple(unit.id for unit in units)
        yield _written(f"{name} {channel}", number, f"{at}/{escape(channel)}", subjects, units, lacking)


def _written(
    name: str, number: int | Decimal, at: str, subjects: tuple[str, ...], units: Iterable[Device], lacking: str
) -> Written:
    """Return a carrier with what is known of its units; `lacking` is what to write where no unit is named."""
    units = list(units)
    unknown = [
        f"{unit.at}/model" if unit.model is None else f"{unit.model.at}/step_khz"
        for unit in units
        if unit.model is None or unit.model.step_hz is None
    ]
    models = tuple(unit.model for unit in units if unit.model is not None)
    return Written(name, number, at, subjects, models, tuple(dict.fromkeys(unknown)) if units else (lacking,))
