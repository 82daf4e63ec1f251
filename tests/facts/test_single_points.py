"""Single points of failure against a brute-force removal that reads the YAML itself.

The removal below imports nothing from planlint's rules or engine: it takes each unit and antenna out of the plan's own
text, follows the cables by name, and asks who can still be heard or hear.
"""

from __future__ import annotations

import random
import tempfile
from pathlib import Path
from typing import Any

import pytest
import yaml

from planlint.facts.single_points import single_points
from tests.plans import plan_of

Document = dict[str, Any]


def rig(dice: random.Random) -> Document:
    """A rig of chance: some transmitters share a combiner, receivers a splitter with one antenna or two."""
    people = [f"p{n}" for n in range(dice.randint(1, 4))]
    devices: Document = {"CMB": {"model": "comb"}, "SPL": {"model": "split"}}
    antennas: Document = {"ear-out": {"for": "ear", "through": "CMB"}, "mast": {"for": "mic"}}
    for name in ("mic-a", "mic-b")[: dice.randint(1, 2)]:
        antennas[name] = {"for": "mic", "through": "SPL"}
    links: Document = {}
    for n in range(dice.randint(1, 5)):
        devices[f"TX-{n}"] = {"model": "tx", "into": dice.choice(["CMB", "CMB", "none"])}
        packs: Document = {}
        for side in range(dice.randint(1, 2)):
            devices[f"PK-{n}{side}"] = {}
            packs[f"PK-{n}{side}"] = {"person": dice.choice(people)}
        links[f"ear-{n}"] = {"kind": "ear", "tx": f"TX-{n}", "packs": packs}
    for n in range(dice.randint(0, 4)):
        devices[f"HH-{n}"] = {"model": "hand"}
        devices[f"RX-{n}"] = {"model": "rx", "into": dice.choice(["SPL", "SPL", "mast"])}
        links[f"mic-{n}"] = {"kind": "mic", "mic": f"HH-{n}", "rx": f"RX-{n}", "person": dice.choice(people)}
    if "mic-0" in links and "mic-1" in links and dice.random() < 0.5:
        links["mic-1"]["stands_in_for"] = "mic-0"
        del links["mic-1"]["person"]
    if dice.random() < 0.5:
        devices["PK-S"] = {}
        main = next(iter(links["ear-0"]["packs"]))
        links[dice.choice([name for name in links if name.startswith("ear")])]["packs"]["PK-S"] = {
            "stands_in_for": main
        }
    return {
        "plan_format": 1,
        "kind": "plan",
        "models": {"comb": {"role": "combiner"}, "split": {"role": "splitter"}, "tx": {"role": "ear-transmitter"},
                   "hand": {"role": "mic-transmitter"}, "rx": {"role": "mic-receiver"}},
        "people": {person: {"does": "sings"} for person in people},
        "devices": devices,
        "antennas": antennas,
        "links": links,
    }  # fmt: skip


def reaches_air(document: Document, unit: str, lost: str) -> bool:
    """Whether a signal leads from a unit's socket to some antenna with one part gone."""
    if unit == lost:
        return False
    into = document["devices"][unit].get("into", "none")
    if into == "none":
        return True
    if into in document["antennas"]:
        return bool(into != lost)
    fed = [name for name, antenna in document["antennas"].items() if antenna.get("through") == into]
    return bool(into != lost and any(name != lost for name in fed))


def lives(document: Document, link: Document, lost: str) -> bool:
    ends = [link["tx"]] if link["kind"] == "ear" else [link["mic"], link["rx"]]
    return all(reaches_air(document, unit, lost) for unit in ends)


def without(document: Document, lost: str) -> tuple[set[str], set[str]]:
    """Who is out of ears and who of microphone with one part gone."""
    wearers = {
        pack: spec["person"]
        for link in document["links"].values()
        for pack, spec in link.get("packs", {}).items()
        if "person" in spec
    }
    had: dict[str, set[str]] = {"ear": set(), "mic": set()}
    have: dict[str, set[str]] = {"ear": set(), "mic": set()}
    for link in document["links"].values():
        if link["kind"] == "ear":
            people = {spec.get("person") or wearers[spec["stands_in_for"]] for spec in link["packs"].values()}
        else:
            people = {link.get("person") or document["links"][link["stands_in_for"]]["person"]}
        had[link["kind"]] |= people
        have[link["kind"]] |= people if lives(document, link, lost) else set()
    return had["ear"] - have["ear"], had["mic"] - have["mic"]


@pytest.mark.parametrize("seed", range(60))
def test_every_part_taken_away_by_hand(seed: int) -> None:
    document = rig(random.Random(seed))
    with tempfile.TemporaryDirectory() as folder:
        plan = plan_of(Path(folder), yaml.safe_dump(document, sort_keys=False))
    found = {gone.part: (set(gone.ears), set(gone.mics)) for gone in single_points(plan)}
    parts = [*document["devices"], *document["antennas"]]
    expected = {part: without(document, part) for part in parts if any(without(document, part))}
    assert found == expected


def test_the_removal_itself_finds_something() -> None:
    hits = sum(
        len(without(document, part)[0]) > 1
        for document in map(rig, map(random.Random, range(60)))
        for part in document["devices"]
    )
    assert hits > 10
