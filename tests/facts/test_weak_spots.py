"""Weak spots against a brute-force removal: the graph is built by hand from the plan's YAML, nothing of planlint in it.

The removal and the sums (spacing, two-signal third-order products, 6 MHz channels from 470 MHz: 47 CFR 73.603) are
written again here in the plainest way; every loss of some hundred random plans is compared.
"""

from __future__ import annotations

import itertools
import random
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from planlint.facts.weak_spots import WeakSpot, unreckoned, weak_spots
from tests.plans import facts_of

SPACING, NEAR, WIDE = 400_000, 50_000, 200_000
AIR = "the air"


def hertz(mhz: float) -> int:
    return round(mhz * 1_000_000)


def channel(number: int) -> tuple[int, int]:
    return 470_000_000 + 6_000_000 * (number - 14), 476_000_000 + 6_000_000 * (number - 14)


# ------------------------------------------------------------------------------------------- random plans

POLICY = {
    "spacing_khz": {"ear_to_ear": 400, "mic_to_mic": 400},
    "intermod_khz": {"two_signal_third": 50, "three_signal_third": 0, "two_signal_fifth": 0, "three_signal_fifth": 0},
}
MODELS = {
    "tx": {
        "role": "ear-transmitter",
        "tuning_mhz": [{"low": 470.1, "high": 520.0}],
        "step_khz": 25,
        "emission_khz": 200,
    },
    "pk": {"role": "ear-pack", "tuning_mhz": [{"low": 470.1, "high": 512.0}], "step_khz": 25},
    "hh": {
        "role": "mic-transmitter",
        "tuning_mhz": [{"low": 520.0, "high": 560.0}],
        "step_khz": 25,
        "emission_khz": 200,
    },
    "rx": {"role": "mic-receiver", "tuning_mhz": [{"low": 500.0, "high": 560.0}], "step_khz": 25},
    "cmb": {"role": "combiner"},
    "spl": {"role": "splitter"},
}


def near(dice: random.Random, low: float, steps: int, count: int) -> list[float]:
    """Spare carriers, often too near to each other to be used together."""
    found: list[float] = []
    for _ in range(count):
        close = found and dice.random() < 0.5
        found.append(round(found[-1] + 0.3 if close else low + 0.025 * dice.randrange(steps), 3))
    return found


def random_plan(seed: int) -> dict[str, Any]:
    """A plan with cascaded boxes, diversity, whips, loops, doubles, split pairs, spares of every kind."""
    dice = random.Random(seed)
    people = ["ada", "bo", "cy", "di"]
    devices: dict[str, Any] = {
        "CA": {"model": "cmb"},
        "CB": {"model": "cmb"},
        "SA": {"model": "spl"},
        "SB": {"model": "spl"},
    }
    antennas = {
        "ear-out": {"for": "ear", "through": "CA"},
        "ear-own": {"for": "ear"},
        "mic-a": {"for": "mic", "through": "SA"},
        "mic-b": {"for": "mic", "through": "SA"},
        "mic-own": {"for": "mic"},
    }
    if dice.random() < 0.5:
        devices["CB"]["into"] = "CA"
    else:
        antennas["ear-two"] = {"for": "ear", "through": "CB"}
    devices["SB"]["into"] = dice.choice(["SA", "mic-own"])
    links: dict[str, Any] = {}
    used = [hertz(470.1 + 0.025 * dice.randrange(600)) for _ in range(4)]
    for number in range(dice.randint(1, 4)):
        devices[f"TX-{number}"] = {"model": "tx", "into": dice.choice(["CA", "CA", "CB", "CB", "ear-own", "none"])}
        link: dict[str, Any] = {"kind": "ear", "tx": f"TX-{number}", "packs": {}, "carrier_mhz": used[number] / 1e6}
        if number and dice.random() < 0.25:
            link["loop_from"] = f"TX-{number - 1}"
        for side in range(dice.choice([0, 1, 1, 1, 2])):
            pack = f"PK-{number}-{side}"
            devices[pack] = {"model": "pk"}
            link["packs"][pack] = {"person": dice.choice(people)} if dice.random() < 0.85 else {}
        links[f"ear-{number}"] = link
    worn = [(name, pack) for name, link in links.items() for pack in link["packs"]]
    for number in range(dice.randint(0, 2) if worn else 0):
        home, (_, main) = dice.choice(list(links)), dice.choice(worn)
        devices[f"PK-S{number}"] = {"model": "pk"}
        links[home]["packs"][f"PK-S{number}"] = {"stands_in_for": main}
    if len(worn) > 1 and dice.random() < 0.3:
        (home, pack), (_, main) = dice.sample(worn, 2)
        links[home]["packs"][pack]["doubles"] = main
    mics, crowd = dice.randint(0, 4), dice.random() < 0.4
    for number in range(mics):
        devices[f"HH-{number}"] = {"model": "hh"}
        devices[f"RX-{number}"] = {"model": "rx", "into": dice.choice(["SA", "SA", "SB", "mic-own", "none"])}
        link = {
            "kind": "mic",
            "mic": f"HH-{number}",
            "rx": f"RX-{number}",
            "carrier_mhz": 524 + 0.025 * dice.randrange(60 if crowd else 800),
        }
        if dice.random() < 0.85:
            link["person"] = dice.choice(people)
        if number and dice.random() < 0.6:
            link[dice.choice(["stands_in_for", "stands_in_for", "doubles"])] = f"mic-{number // 2 - (number > 2)}"
        links[f"mic-{number}"] = link
    return {
        "plan_format": 1, "kind": "plan", "show": {"region": "us"}, "policy": POLICY, "models": MODELS, "devices": devices,
        "people": {name: {} for name in people}, "spectrum": {"tv_occupied": [dice.randint(14, 29)]}, "antennas": antennas,
        "links": links,
        "spares_mhz": {
            "ear": near(dice, 470.1, 1800, dice.randint(0, 3)),
            "mic": near(dice, 524.0, 1400, dice.randint(0, 3)),
        },
    }  # fmt: skip


# ------------------------------------------------------------------------------------------- brute force


class Brute(NamedTuple):
    """The graph of one plan, and what works with something taken out of it."""

    plan: dict[str, Any]
    gone: str  # an id, or "TV 17"

    def edges(self) -> dict[str, set[str]]:
        """Who is plugged into whom; an antenna and a whip reach the air."""
        found: dict[str, set[str]] = {}
        for name, device in self.plan["devices"].items():
            into = device.get("into")
            found.setdefault(name, set()).update({AIR} if into == "none" else {into} if into else set())
            if device["model"] == "hh":
                found[name].add(AIR)
        for name, antenna in self.plan["antennas"].items():
            found.setdefault(name, set()).add(AIR)
            if "through" in antenna and "into" not in self.plan["devices"][antenna["through"]]:
                found[antenna["through"]].add(name)
        return found

    def on_air(self, start: str) -> bool:
        edges, ahead, seen = self.edges(), [start], set[str]()
        while ahead:
            here = ahead.pop()
            if here in seen or here == self.gone:
                continue
            if here == AIR:
                return True
            seen.add(here)
            ahead += edges.get(here, ())
        return False

    def hit(self, carrier: int) -> bool:
        """Whether an emission lies in the lost TV channel."""
        if not self.gone.startswith("TV "):
            return False
        low, high = channel(int(self.gone[3:]))
        return low < carrier + WIDE // 2 and carrier - WIDE // 2 < high

    def fed(self, unit: str) -> bool:
        if unit == self.gone:
            return False
        loops = [
            link["loop_from"] for link in self.plan["links"].values() if link.get("tx") == unit and "loop_from" in link
        ]
        return all(self.fed(loop) for loop in loops)

    def works(self, name: str) -> bool:
        link = self.plan["links"][name]
        if self.hit(hertz(link["carrier_mhz"])):
            return False
        if link["kind"] == "ear":
            return self.fed(link["tx"]) and self.on_air(link["tx"])
        return link["mic"] != self.gone and self.on_air(link["rx"])

    def hears(self, name: str, pack: str) -> bool:
        return self.works(name) and pack != self.gone

    def quiet(self) -> set[tuple[str, str, str | None]]:
        """(who, link, pack) of everybody who is lost."""
        links = self.plan["links"]
        found: set[tuple[str, str, str | None]] = set()
        for name, link in links.items():
            if "stands_in_for" in link:
                continue
            if link["kind"] == "mic":
                twins = [
                    other for other in links if links[other].get("doubles") == name or link.get("doubles") == other
                ]
                if not self.works(name) and not any(self.works(twin) for twin in twins):
                    found.add((link.get("person", name), name, None))
                continue
            mains = {pack: spec for pack, spec in link["packs"].items() if "stands_in_for" not in spec}
            if not mains and not self.works(name):
                found.add((name, name, None))
            for pack, spec in mains.items():
                twins = [
                    (home, other)
                    for home in links
                    for other, theirs in links[home].get("packs", {}).items()
                    if theirs.get("doubles") == pack or spec.get("doubles") == other
                ]
                if not self.hears(name, pack) and not any(self.hears(*twin) for twin in twins):
                    found.add((spec.get("person", pack), name, pack))
        return found

    def still_on(self) -> dict[str, int]:
        """Carriers of the links that are on and still work."""
        links = self.plan["links"]
        return {
            name: hertz(link["carrier_mhz"])
            for name, link in links.items()
            if "stands_in_for" not in link and self.works(name)
        }

    def clear(self, kind: str, carrier: int, on: dict[str, int]) -> bool:
        """Whether one more carrier goes with the town and with those that are on."""
        low, high = carrier - WIDE // 2, carrier + WIDE // 2
        live = [channel(number) for number in self.plan["spectrum"]["tv_occupied"]]
        if self.hit(carrier) or low < 470_000_000 or any(edge[0] < high and low < edge[1] for edge in live):
            return False
        for name, other in on.items():
            least = SPACING if self.plan["links"][name]["kind"] == kind else WIDE
            if abs(other - carrier) < least:
                return False
        return not any(
            abs(2 * a - b - c) < NEAR
            for a, b, c in itertools.permutations([*on.values(), carrier], 3)
            if carrier in (a, b, c)
        )

    def tunes(self, name: str, carrier: int) -> bool:
        link = self.plan["links"][name]
        units = [link.get("tx"), link.get("mic"), link.get("rx"), *link.get("packs", {})]
        models = [self.plan["models"][self.plan["devices"][unit]["model"]] for unit in units if unit]
        return all(
            hertz(tuning["low"]) <= carrier <= hertz(tuning["high"]) and (carrier - hertz(tuning["low"])) % 25_000 == 0
            for model in models
            for tuning in model["tuning_mhz"]
        )


def losses(plan: dict[str, Any]) -> set[str]:
    links = [link for link in plan["links"].values() if "stands_in_for" not in link]
    found = {"CA", "CB", "SA", "SB", *plan["antennas"]}
    found |= {str(link[end]) for link in links for end in ("tx", "mic", "rx") if end in link}
    found |= {pack for link in links for pack, spec in link.get("packs", {}).items() if "stands_in_for" not in spec}
    for number in range(14, 37):
        if number not in plan["spectrum"]["tv_occupied"]:
            taken = Brute(plan, f"TV {number}")
            found |= {taken.gone for link in links if taken.hit(hertz(link["carrier_mhz"]))}
    return found


def name_of(spot: WeakSpot) -> str:
    return f"TV {spot.loss.id}" if spot.loss.kind == "tv-channel" else spot.loss.id


def judged(seed: int, folder: Path) -> tuple[dict[str, Any], dict[str, WeakSpot]]:
    plan = random_plan(seed)
    found = weak_spots(facts_of(folder, yaml.safe_dump(plan, sort_keys=False)))
    return plan, {name_of(spot): spot for spot in found}


SEEDS = range(120)


@pytest.mark.parametrize("seed", SEEDS)
def test_losses_and_who_goes_quiet_agree_with_a_brute_force_removal(seed: int, tmp_path: Path) -> None:
    plan, found = judged(seed, tmp_path)
    assert set(found) == losses(plan)
    for gone, spot in found.items():
        assert {(one.who, one.link, one.unit) for one in spot.quiet} == Brute(plan, gone).quiet(), gone
        assert spot.needs == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_stand_ins_agree_with_a_brute_force_removal(seed: int, tmp_path: Path) -> None:
    plan, found = judged(seed, tmp_path)
    links = plan["links"]
    for gone, spot in found.items():
        brute = Brute(plan, gone)
        on = brute.still_on()
        named = {one.saver.link for one in spot.quiet if one.saver and "stands_in_for" in links[one.saver.link]}
        for name in sorted(
            named
        ):  # whatever is switched on is clear beside the rest, and beside what was switched on before
            assert brute.works(name)
            assert brute.clear(links[name]["kind"], hertz(links[name]["carrier_mhz"]), on), (gone, name)
            on[name] = hertz(links[name]["carrier_mhz"])
        for one in spot.quiet:
            packs = {
                pack
                for home, link in links.items()
                for pack, spec in link.get("packs", {}).items()
                if one.unit and spec.get("stands_in_for") == one.unit and brute.hears(home, pack)
            }
            mics = {name for name, link in links.items() if link.get("stands_in_for") == one.link and brute.works(name)}
            if one.saver and one.saver.kind == "pack":
                assert one.saver.id in packs
            elif one.saver and one.saver.kind == "link":
                assert not packs
                assert one.saver.id in mics
            else:
                assert not packs
                for name in mics - named:
                    assert not brute.clear("mic", hertz(links[name]["carrier_mhz"]), on)


def most_back(brute: Brute, wants: list[str], on: dict[str, int]) -> int:
    """The most links that spare carriers bring back: every way of giving them, tried."""
    spares = [(kind, hertz(each)) for kind, written in brute.plan["spares_mhz"].items() for each in written]
    links, best = brute.plan["links"], 0
    for given in itertools.product([None, *range(len(spares))], repeat=len(wants)):
        taken = [at for at in given if at is not None]
        if len(set(taken)) < len(taken) or sum(map(weight(brute, wants), range(len(wants)), given)) <= best:
            continue
        now, fits = dict(on), True
        for name, at in zip(wants, given, strict=True):
            if at is not None:
                kind, carrier = spares[at]
                fits = (
                    fits
                    and kind == links[name]["kind"]
                    and brute.tunes(name, carrier)
                    and brute.clear(kind, carrier, now)
                )
                now[name] = carrier
        if fits:
            best = sum(map(weight(brute, wants), range(len(wants)), given))
    return best


def weight(brute: Brute, wants: list[str]) -> Any:
    quiet = brute.quiet()
    return lambda index, at: 0 if at is None else len({who for who, name, _ in quiet if name == wants[index]})


@pytest.mark.parametrize("seed", SEEDS)
def test_spare_carriers_agree_with_every_way_of_giving_them(seed: int, tmp_path: Path) -> None:
    plan, found = judged(seed, tmp_path)
    for gone, spot in found.items():
        movers = [one for one in spot.quiet if one.saver and one.saver.kind == "carrier"]
        if not gone.startswith("TV "):
            assert not movers
            continue
        brute = Brute(plan, gone)
        if any(one.saver and one.saver.kind != "carrier" for one in spot.quiet):
            continue  # what is switched on first is judged above
        now = brute.still_on()
        moved = {one.link: one.saver.carrier_hz for one in movers if one.saver and one.saver.carrier_hz}
        for name in moved:
            carrier = moved[name]
            assert brute.tunes(name, carrier)
            assert brute.clear(plan["links"][name]["kind"], carrier, now), (gone, name)
            now[name] = carrier
        wants = sorted({one.link for one in spot.quiet})
        assert len({(one.who, one.link) for one in movers}) == most_back(brute, wants, brute.still_on()), gone


def test_the_random_plans_reach_what_they_are_for(tmp_path: Path) -> None:
    """Else the comparisons above could agree on nothing."""
    kinds: dict[str, int] = {}
    for seed in SEEDS:
        (tmp_path / str(seed)).mkdir()
        for spot in judged(seed, tmp_path / str(seed))[1].values():
            for one in spot.quiet:
                kinds[one.saver.kind if one.saver else "none"] = (
                    kinds.get(one.saver.kind if one.saver else "none", 0) + 1
                )
            kinds["weaker"] = kinds.get("weaker", 0) + bool(spot.weaker)
    assert min(kinds[name] for name in ("pack", "link", "carrier", "none", "weaker")) >= 20, kinds


# ------------------------------------------------------------------------------------------- by hand

SMALL = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 20]}
people: {vox: {}, gtr: {}}
fallback: {vox: wedge}
if_lost: {C: pull the coax}
models:
  tx: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25, emission_khz: 180}
  pk: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
  cmb: {role: combiner}
racks: {A: {holds: [T1, T2, C]}}
devices: {T1: {model: tx}, T2: {model: tx}, C: {model: cmb}, P1: {model: pk}, P2: {model: pk}}
antennas: {out: {for: ear, through: C}}
links:
  ear-1: {kind: ear, tx: T1, packs: {P1: {person: vox}}, carrier_mhz: 480.500}
  ear-2: {kind: ear, tx: T2, packs: {P2: {person: gtr, listens_to: [ear-1]}}, carrier_mhz: 490.500}
spares_mhz: {ear: [500.000]}
"""


def spots(text: str, folder: Path) -> dict[str, WeakSpot]:
    return {name_of(spot): spot for spot in weak_spots(facts_of(folder, text))}


def test_order_fallback_card_and_work_of_a_small_plan(tmp_path: Path) -> None:
    found = weak_spots(facts_of(tmp_path, SMALL))
    assert [name_of(spot) for spot in found] == ["C", "out", "T1", "T2", "P1", "P2", "TV 15", "TV 17"]
    by_name = {name_of(spot): spot for spot in found}
    assert by_name["C"].lost == by_name["C"].stranded == ("gtr", "vox")
    assert by_name["C"].card == by_name["out"].card == "pull the coax"
    assert [one.fallback for one in by_name["T1"].quiet] == ["wedge"]
    saver = by_name["TV 15"].quiet[0].saver
    assert saver is not None
    assert (saver.carrier_hz, saver.touches) == (500_000_000, 3)  # T1, P1, and its entry in P2's list


@pytest.mark.parametrize(
    ("old", "new", "gone", "needs"),
    [
        ("racks: {A: {holds: [T1, T2, C]}}", "racks: {A: {holds: [T1, C]}}", "C", ("/devices/T2/into",)),
        ("antennas: {out: {for: ear, through: C}}", "antennas: {out: {for: ear}, b: {for: ear}}", "out", ("/antennas",)),
        ("pk: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}", "pk: {role: ear-pack}", "TV 15", ("/models/pk/tuning_mhz",)),
    ],
)  # fmt: skip
def test_what_is_not_written_is_asked_for_and_never_taken(
    old: str, new: str, gone: str, needs: tuple[str, ...], tmp_path: Path
) -> None:
    assert old in SMALL
    spot = spots(SMALL.replace(old, new), tmp_path)[gone]
    assert spot.needs == needs
    assert all(one.saver is None for one in spot.quiet)


def test_without_a_list_of_live_channels_it_says_so(tmp_path: Path) -> None:
    assert unreckoned(facts_of(tmp_path, SMALL)) == ()
    assert unreckoned(facts_of(tmp_path, SMALL.replace("tv_occupied: [14, 20]", ""))) == ("/spectrum/tv_occupied",)
    bare = SMALL.replace("show: {region: us}", "show: {}").replace("tv_occupied: [14, 20]", "")
    assert unreckoned(facts_of(tmp_path, bare)) == ("/spectrum/tv_raster",)


@pytest.mark.parametrize(
    ("spare", "extra", "saved"),
    [
        ("500.000", "", True),
        ("500.010", "", False),  # between the steps
        ("560.000", "", False),  # outside what the units tune
        ("507.000", "", False),  # in live TV 20
        ("480.000", "", False),  # in the channel that is lost
        ("490.800", "", False),  # 300 kHz from ear-2, limit twice 180
        ("490.860", "", False),  # exactly on that limit, but between the steps
        ("500.000", "pack_defaults: {may_tune: stored}\ngroups: {G: {stored_in: [P1], carriers_mhz: {1: 500.000}}}\n", True),
        ("500.000", "pack_defaults: {may_tune: stored}\ngroups: {G: {stored_in: [P1], carriers_mhz: {1: 501.000}}}\n", False),
    ],
)  # fmt: skip
def test_which_spare_carrier_counts(spare: str, extra: str, saved: bool, tmp_path: Path) -> None:
    spot = spots(SMALL.replace("ear: [500.000]", f"ear: [{spare}]") + extra, tmp_path)["TV 15"]
    assert [one.saver is not None for one in spot.quiet] == [saved]


def test_one_goes_without_where_that_brings_more_people_back(tmp_path: Path) -> None:
    """The middle spare is 300 kHz from either outer one, limit twice 180: whoever tunes only that one goes without."""
    text = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14]}
policy: {intermod_khz: {two_signal_third: 0, three_signal_third: 0, two_signal_fifth: 0}}
people: {a: {}, b: {}, c: {}}
models:
  tx: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25, emission_khz: 180}
  pk: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
pack_defaults: {may_tune: stored}
devices: {T1: {model: tx}, T2: {model: tx}, T3: {model: tx}, P1: {model: pk}, P2: {model: pk}, P3: {model: pk}}
groups:
  G1: {stored_in: [P1], carriers_mhz: {1: 500.300}}
  G2: {stored_in: [P2], carriers_mhz: {1: 500.000}}
  G3: {stored_in: [P3], carriers_mhz: {1: 500.600}}
links:
  ear-1: {kind: ear, tx: T1, packs: {P1: {person: a}}, carrier_mhz: 477.000}
  ear-2: {kind: ear, tx: T2, packs: {P2: {person: b}}, carrier_mhz: 479.000}
  ear-3: {kind: ear, tx: T3, packs: {P3: {person: c}}, carrier_mhz: 481.000}
spares_mhz: {ear: [500.300, 500.000, 500.600]}
"""
    spot = spots(text, tmp_path)["TV 15"]
    assert spot.stranded == ("a",)
    assert {one.who: one.saver.carrier_hz for one in spot.quiet if one.saver} == {"b": 500_000_000, "c": 500_600_000}


@pytest.mark.parametrize(("second", "stranded"), [("550.300", ("b",)), ("550.400", ())])
def test_two_stand_ins_must_go_together(second: str, stranded: tuple[str, ...], tmp_path: Path) -> None:
    """The splitter takes both microphones; the stand-ins are 300 or 400 kHz apart, limit twice 200."""
    text = f"""\
plan_format: 1
kind: plan
show: {{region: us}}
spectrum: {{tv_occupied: [14]}}
people: {{a: {{}}, b: {{}}}}
models: {{hh: {{role: mic-transmitter, emission_khz: 200}}, rx: {{role: mic-receiver}}, spl: {{role: splitter}}}}
devices:
  {{H1: {{model: hh}}, H2: {{model: hh}}, H3: {{model: hh}}, H4: {{model: hh}}, S: {{model: spl}},
   R1: {{model: rx, into: S}}, R2: {{model: rx, into: S}}, R3: {{model: rx, into: none}}, R4: {{model: rx, into: none}}}}
antennas: {{m: {{for: mic, through: S}}}}
links:
  mic-1: {{kind: mic, mic: H1, rx: R1, person: a, carrier_mhz: 530.000}}
  mic-2: {{kind: mic, mic: H2, rx: R2, person: b, carrier_mhz: 540.000}}
  mic-3: {{kind: mic, mic: H3, rx: R3, stands_in_for: mic-1, carrier_mhz: 550.000}}
  mic-4: {{kind: mic, mic: H4, rx: R4, stands_in_for: mic-2, carrier_mhz: {second}}}
"""
    spot = spots(text, tmp_path)["S"]
    assert spot.lost == ("a", "b")
    assert spot.stranded == stranded


@pytest.mark.parametrize(("reach", "saved"), [("520.000", {"gtr", "bass"}), ("510.000", set())])
def test_links_of_one_emission_go_to_one_spare_together(reach: str, saved: set[str], tmp_path: Path) -> None:
    """One carrier serves both; where one pack cannot tune it, it is no spare for the emission."""
    text = f"""\
plan_format: 1
kind: plan
show: {{region: us}}
people: {{gtr: {{}}, bass: {{}}}}
models:
  w: {{role: ear-transmitter, tuning_mhz: [{{low: 500.000, high: 520.000}}], step_khz: 25, modes: {{two: {{carries_links: 2, emission_khz: 200}}}}}}
  p: {{role: ear-pack, tuning_mhz: [{{low: 500.000, high: 520.000}}], step_khz: 25}}
  q: {{role: ear-pack, tuning_mhz: [{{low: 500.000, high: {reach}}}], step_khz: 25}}
devices: {{W: {{model: w}}, P1: {{model: p}}, P2: {{model: q}}}}
spectrum: {{tv_occupied: [14]}}
spares_mhz: {{ear: [515.000]}}
links:
  a: {{kind: ear, tx: W, mode: two, wide_emission: BOTH, carrier_mhz: 503.000, packs: {{P1: {{person: gtr}}}}}}
  b: {{kind: ear, tx: W, mode: two, wide_emission: BOTH, carrier_mhz: 503.000, packs: {{P2: {{person: bass}}}}}}
"""
    spot = spots(text, tmp_path)["TV 19"]
    assert spot.lost == ("bass", "gtr")
    assert {one.who for one in spot.quiet if one.saver} == saved
    assert {one.saver.carrier_hz for one in spot.quiet if one.saver} <= {515_000_000}
