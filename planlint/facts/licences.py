"""Which licences cover a carrier at a show: by class, band, place and date."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Plan, Row
from planlint.plan.quantity import mhz, to_hz


class Cover(NamedTuple):
    """What the licences held say about one row.

    Attributes:
        held: ids of licences that cover the carrier here tonight, in order.
        needs: pointers to write so that more can be said; none where it is certain.
        why_not: for each licence of the class that does not cover it, what is wrong with it.
    """

    held: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    why_not: tuple[str, ...] = ()


def cover(plan: Plan, row: Row, low_hz: int, high_hz: int) -> Cover:
    """Say which licences permit a licensed row for an emission at the plan's show.

    Args:
        plan: the plan.
        row: a row of a licence class.
        low_hz: lower edge of the emission in Hz; what lies outside the row is not the licence's matter.
        high_hz: its upper edge in Hz.
    """
    if "licences" not in plan.values:
        return Cover(needs=("/licences",))
    low_hz, high_hz = max(low_hz, row.low_hz), min(high_hz, row.high_hz)
    held, needs, why_not = [], [], []
    for name, spec in licences(plan):
        faults, missing = _against(plan, name, spec, row.licence_class, (low_hz, high_hz))
        if spec.get("class", row.licence_class) == row.licence_class:
            why_not += [f"{name} {fault}" for fault in faults[:1]]
        if not faults and not missing:
            held.append(name)
        elif not faults:
            needs += missing
    return Cover(tuple(held), tuple(needs), tuple(why_not))


def licences(plan: Plan) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield each licence's id and what is written about it, in order of id."""
    section = plan.section("licences")
    for name in sorted(section):
        if isinstance(section[name], dict):
            yield name, section[name]


def at_place(plan: Plan, place: str) -> bool:
    """Say whether a licence's place is this show's: its place, town, both, or the region's id or name."""
    show = [str(plan.show[key]) for key in ("place", "town") if key in plan.show]
    region = [] if plan.region is None else [plan.region.id, str(plan.region.spec.get("name", ""))]
    names = {*show, ", ".join(show), *region} - {""}
    return _plain(place) in {_plain(name) for name in names}


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _against(
    plan: Plan, name: str, spec: Mapping[str, Any], wanted: str, edges: tuple[int, int]
) -> tuple[list[str], list[str]]:
    """Return what speaks against a licence, and the pointers of what is missing to say so."""
    at, faults, missing = f"/licences/{escape(name)}", [], []
    missing += [f"{at}/{key}" for key in ("class", "low_mhz", "high_mhz", "place", "from", "until") if key not in spec]
    if spec.get("class", wanted) != wanted:
        faults.append("is of another class")
    low = to_hz(spec["low_mhz"], "mhz") if "low_mhz" in spec else edges[0]
    high = to_hz(spec["high_mhz"], "mhz") if "high_mhz" in spec else edges[1]
    if edges[0] < low or high < edges[1]:
        faults.append(f"covers {mhz(low)}-{mhz(high)}")
    if "place" in spec and not at_place(plan, str(spec["place"])):
        faults.append(f"is for {spec['place']}")
    if plan.date is None:
        missing.append("/show/date")
    else:
        if str(spec.get("from", plan.date)) > plan.date:
            faults.append(f"begins {spec['from']}")
        if str(spec.get("until", plan.date)) < plan.date:
            faults.append(f"ended {spec['until']}")
    return faults, missing
