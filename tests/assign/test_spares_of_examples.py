"""Spares of the example shows, checked without planlint: a plain YAML reader, and every equation tried by definition.

Spacing, from the format's rulings: like kinds keep the house's distance, ears and microphones theirs, anything else
half of both emissions. TV channels: 47 CFR 73.603(a) for 6 MHz (channel 14 begins at 470 MHz); 8 MHz channels begin with
21 at 470 MHz (from memory, not verified). Guard 100 kHz: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from planlint.assign.spare_choice import choose_spares
from planlint.assign.spares import Effort, Ladder, SpareSearch
from planlint.config import Config
from planlint.engine.moving import said_of_spares
from planlint.engine.propose import open_for_proposals
from planlint.engine.single import open_one
from planlint.plan.model import Kind
from tests.examples.relations import Emission, relations
from tests.examples.shows import CLEAN, Example, emissions, on_air, read

SHOWS = [(name, show) for name in sorted(CLEAN) for show in CLEAN[name].files()]


def _search(example: Example, show: Path, kind: Kind, count: int | None) -> Ladder:
    facts = open_one(example.folder, show).facts
    return SpareSearch(facts, kind, Effort(60.0, rounds=1)).run(count)


def _faults(example: Example, show: Path, kind: Kind, carriers_hz: list[int]) -> Iterator[object]:
    plan, tour = read(show), read(example.folder / example.tour)
    live = emissions(example, show, spares=False)
    links = tour["links"]
    width = max(live[name].width_hz for name in live if name in links and links[name]["kind"] == kind)
    spares = {f"spare {at}": Emission(carrier, width) for at, carrier in enumerate(carriers_hz)}
    everyone = {**live, **spares}
    kinds = {**{name: links[name]["kind"] for name in live if name in links}, **dict.fromkeys(spares, kind)}
    for ids in on_air(example, show):
        on = {name: everyone[name] for name in sorted((ids & live.keys()) | spares.keys())}
        yield from (text for text in relations(on) if "spare " in text)
        for first, second in combinations(on, 2):
            if {first, second} & spares.keys():
                need = _apart(tour["policy"], kinds.get(first), kinds.get(second), on[first], on[second])
                if abs(on[first].carrier_hz - on[second].carrier_hz) < need:
                    yield first, second
    first_number, wide = {"us-6mhz": (14, 6_000_000), "eu-8mhz": (21, 8_000_000)}[plan["spectrum"]["tv_raster"]]
    for number in map(int, plan["spectrum"]["tv_occupied"]):
        low = 470_000_000 + wide * (number - first_number)
        for name, one in spares.items():
            if one.carrier_hz + width / 2 > low - 100_000 and one.carrier_hz - width / 2 < low + wide + 100_000:
                yield name, number


def _apart(policy: dict[str, Any], first: str | None, second: str | None, one: Emission, other: Emission) -> float:
    written = policy.get("spacing_khz", {})
    if first == second and first is not None:
        like = f"{first}_to_{first}"
        return 1000 * float(written[like]) if like in written else 2 * max(one.width_hz, other.width_hz)
    half = (one.width_hz + other.width_hz) / 2
    ears_and_mics = {first, second} == {"ear", "mic"}
    return max(half, 1000 * float(written.get("ear_to_mic", 0))) if ears_and_mics else half


@pytest.mark.parametrize("kind", ["ear", "mic"])
@pytest.mark.parametrize(("name", "show"), SHOWS, ids=lambda one: getattr(one, "stem", str(one)))
def test_spares_of_a_show(name: str, show: Path, kind: Kind) -> None:
    found = _search(CLEAN[name], show, kind, 4)
    assert found.spares
    assert len(found.spares) == min(4, found.at_most)
    assert list(_faults(CLEAN[name], show, kind, [one.carrier_hz for one in found.spares])) == []


@pytest.mark.parametrize("kind", ["ear", "mic"])
@pytest.mark.parametrize(("name", "show"), SHOWS, ids=lambda one: getattr(one, "stem", str(one)))
def test_the_rules_accept_what_is_proposed(name: str, show: Path, kind: Kind) -> None:
    opened = open_for_proposals(CLEAN[name].folder, show, Config())
    found = choose_spares(opened.facts, kind, 4, Effort(60.0, rounds=1), lambda _count, _at_most: None)
    carriers = [one.carrier_hz for one in found.spares]
    assert list(_faults(CLEAN[name], show, kind, carriers)) == []
    said = said_of_spares(opened, kind, carriers)
    assert [one.message for one in said if one.rule == "spare-breaks-plan"] == []
    live = next(hz for one, hz in sorted(opened.facts.carriers.items()) if one in opened.facts.plan.links)
    assert "spare-breaks-plan" in {one.rule for one in said_of_spares(opened, kind, [live])}


@pytest.mark.parametrize(
    ("name", "kind"), [("lantern-street", "mic"), ("willow-court", "ear"), ("harrow-green", "ear")]
)
def test_as_many_as_fit(name: str, kind: Kind) -> None:
    example = CLEAN[name]
    show = example.files()[0]
    found = _search(example, show, kind, None)
    carriers = [one.carrier_hz for one in found.spares]
    assert 4 < len(carriers) <= found.at_most
    assert list(_faults(example, show, kind, carriers)) == []
    live = emissions(example, show, spares=False)
    beside = next(carrier.carrier_hz for carrier in live.values())
    assert list(_faults(example, show, kind, [*carriers, beside + 1000])), "the check itself finds what is too near"
