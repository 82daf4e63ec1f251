"""Random tours of a few narrow venues, as files and as plain numbers for tests/assign/tour_by_trial.py."""

from __future__ import annotations

import random
from pathlib import Path

from planlint.assign.tour_matrix import Matrix, matrix
from planlint.assign.tour_nights import Night, Tour, in_order
from planlint.facts import Facts
from planlint.plan import Shelf, build, resolve
from tests.assign.tour_by_trial import Date, sets_of

STEP = 175
LIMITS = (100, 50, 50)  # 200 kHz emissions: B/2, B/4, B/4
SPACING = {frozenset({"ear"}): 300, frozenset({"mic"}): 350, frozenset({"ear", "mic"}): 500}  # the house's
TOUR = """\
plan_format: 1
kind: tour
uses: [models.yaml]
policy: {spacing_khz: {ear_to_ear: 300, mic_to_mic: 350, ear_to_mic: 500}}
devices: {%(devices)s}
links:
%(links)s
"""


MODELS = """\
plan_format: 1
kind: models
models:
  t: {role: ear-transmitter, tuning_mhz: [{low: %(low)s, high: %(high)s}], step_khz: 175, emission_khz: 200}
  p: {role: ear-pack}
"""


class Case:
    """A random tour: a narrow band across a TV channel's edge, others on the air, links that come and go.

    TV 14 and 15 meet at 476 MHz (47 CFR 73.603(a)); an emission's edge keeps 100 kHz from a live one (common practice).
    """

    def __init__(self, seed: int, folder: Path) -> None:
        rng = random.Random(seed)
        low = 474_800
        self.positions = [low + STEP * at for at in range(rng.choice([12, 13, 14]))]
        names = [f"e{at}" for at in range(rng.choice([2, 3, 3]))]
        self.kinds = {name: rng.choice(["ear", "ear", "mic"]) for name in names}
        self.weights = {name: rng.choice([2, 3]) for name in names}
        self.dates: list[Date] = []
        self._write_tour(folder, names)
        self.files: list[str] = []
        self.venues: list[tuple[dict[str, str], tuple[int, ...], int | None]] = []
        for number in range(rng.choice([3, 4, 4])):
            used = [name for name in names if rng.random() < 0.85] or names[:1]
            others = tuple(low - 300 + 25 * rng.randrange(90) for _ in range(rng.choice([0, 0, 1, 1])))
            live = rng.choice([None, None, 14, 15])
            self.files.append(f"v{number}.yaml")
            carriers = {name: "carrier_mhz: auto" if name in used else "unused: not tonight" for name in names}
            self.venues.append((carriers, others, live))
            (folder / self.files[-1]).write_text(venue(number, *self.venues[-1]), "utf-8")
            # the contract: somebody else's carrier keeps half of both emissions away
            free = [khz for khz in self.positions if all(abs(khz - other) >= 200 for other in others)]
            free = [khz for khz in free if live != 14 or khz >= 476_200]
            free = [khz for khz in free if live != 15 or khz <= 475_800]
            self.dates.append(Date({name: tuple(free) for name in used}, others))

    def _write_tour(self, folder: Path, names: list[str]) -> None:
        devices, links = [], []
        for name in names:
            devices.append(f"T{name}: {{model: t}}")
            self.weights[name] = 2 if self.kinds[name] == "mic" else self.weights[name]
            packs = [f"P{name}{at}" for at in range(self.weights[name] - 1)]
            devices += [f"{pack}: {{model: p}}" for pack in packs]
            held = ", ".join(f"{pack}: {{}}" for pack in packs)
            kind = self.kinds[name]
            ends = f"packs: {{{held}}}" if kind == "ear" else f"rx: P{name}0"
            links.append(f"  {name}: {{kind: {kind}, {'tx' if kind == 'ear' else 'mic'}: T{name}, {ends}}}")
        tour = TOUR % {"devices": ", ".join(devices), "links": "\n".join(links)}
        (folder / "tour.yaml").write_text(tour, "utf-8")
        span = {"low": f"{self.positions[0] / 1000:.3f}", "high": f"{self.positions[-1] / 1000:.3f}"}
        (folder / "models.yaml").write_text(MODELS % span, "utf-8")

    def sets(self) -> list[list[dict[str, int]]]:
        return [sets_of(date, self.kinds, SPACING, LIMITS) for date in self.dates]


def venue(number: int, carriers: dict[str, str], others: tuple[int, ...], live: int | None) -> str:
    on_air = ", ".join(
        f"o{at}: {{carrier_mhz: {khz / 1000:.3f}, emission_khz: 200, kind: comms}}" for at, khz in enumerate(others)
    )
    return (
        "plan_format: 1\nkind: venue\nuses: [tour.yaml]\n"
        f'show: {{id: v{number}, place: Hall {number}, date: "2027-01-{10 + number}", region: us}}\n'
        f"spectrum: {{tv_occupied: [{live or ''}], others_on_air: {{{on_air}}}}}\n"
        "carriers:\n" + "".join(f"  {name}: {{{entry}}}\n" for name, entry in carriers.items())
    )


def tour_of(folder: Path, files: list[str]) -> Tour:
    shelf = Shelf(folder)
    nights = []
    for file in files:
        for judged in (file, "tour.yaml"):
            assert shelf.judged(judged).troubles == (), shelf.judged(judged).troubles
        nights.append(Night(Facts(build(resolve(shelf, file), shelf))))
    return in_order(nights)


def found_for(folder: Path, files: list[str], tonight: int = 0) -> Matrix:
    tour = tour_of(folder, files)
    return matrix(tour, tour.all[tonight], None)
