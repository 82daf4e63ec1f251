"""Links: what the tour decides about each, joined with what the show says about its carrier."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, cast

from planlint.document.nodes import escape
from planlint.plan.model import Kind, Link, Pack
from planlint.plan.quantity import to_hz

#: Keys under `packs` that are no setting.
NO_SETTING = frozenset({"person", "stands_in_for", "listens_to", "doubles", "because"})


def build_links(values: Mapping[str, Any], *, venue: bool, plan: bool) -> dict[str, Link]:
    """Build every link of a plan; in a venue the carrier stands in `carriers`, in a plan file in either place."""
    links = values.get("links")
    carriers = values.get("carriers")
    carriers = carriers if isinstance(carriers, dict) else {}
    defaults = values.get("pack_defaults")
    defaults = defaults if isinstance(defaults, dict) else {}
    return {
        name: _link(name, spec, carriers, defaults, own=plan and name not in carriers)
        for name, spec in (links.items() if isinstance(links, dict) else ())
        if isinstance(spec, dict) and (venue or plan or name not in carriers)
    }


def _link(
    name: str, spec: Mapping[str, Any], carriers: Mapping[str, Any], defaults: Mapping[str, Any], *, own: bool
) -> Link:
    at = f"/links/{escape(name)}"
    entry = spec if own else carriers.get(name, {})
    entry = entry if isinstance(entry, dict) else {}
    carrier = entry.get("carrier_mhz")
    power = entry.get("power_mw")
    number = carrier if isinstance(carrier, int | Decimal) else None
    return Link(
        id=name,
        kind=cast("Kind | None", spec.get("kind")),
        carrier_hz=None if number is None else to_hz(number, "mhz"),
        carrier_written=number,
        auto=carrier == "auto",
        unused=entry.get("unused"),
        pinned=entry.get("pinned"),
        power_mw=None if power is None else float(power),
        stored=entry.get("stored", {}),
        tx=spec.get("tx") or spec.get("mic"),
        rx=spec.get("rx"),
        packs=tuple(_packs(spec.get("packs", {}), defaults, at)),
        person=spec.get("person"),
        sends=spec.get("sends"),
        feed=spec.get("feed"),
        desk_in=spec.get("desk_in"),
        stands_in_for=spec.get("stands_in_for"),
        spec=spec,
        at=at,
        entry_at=at if own else f"/carriers/{escape(name)}",
        listed=own or name in carriers,
        wide_emission=spec.get("wide_emission"),
        self_tuned=entry.get("self_tuned"),
        takes_channels=entry.get("takes_channels"),
    )


def _packs(packs: Mapping[str, Any], defaults: Mapping[str, Any], at: str) -> Iterator[Pack]:
    for name, spec in packs.items():
        own = {key: value for key, value in spec.items() if key not in NO_SETTING}
        listens = spec.get("listens_to")
        yield Pack(
            id=name,
            person=spec.get("person"),
            stands_in_for=spec.get("stands_in_for"),
            listens_to=None if listens is None else tuple(listens),
            settings={**defaults, **own},
            own=own,
            at=f"{at}/packs/{escape(name)}",
        )
