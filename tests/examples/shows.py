"""The example plans as a plain YAML reader sees them: carriers, widths and who is on the air, without planlint."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import yaml

from tests.examples.relations import Emission, hertz

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).parent
EXAMPLES = ROOT / "examples"
MINUTES_PER_DAY = 1440


class Example(NamedTuple):
    """A tour: its folder, where its shows, its tour and its types of unit stand in it, the fewest carriers."""

    folder: Path
    shows: str
    tour: str
    models: str
    carriers: int

    def files(self) -> list[Path]:
        """Return the files of its shows."""
        return sorted(self.folder.glob(self.shows))

    def links(self) -> set[str]:
        """Return the ids of its own links."""
        return set(read(self.folder / self.tour)["links"])


CLEAN = {
    "glass-barn": Example(EXAMPLES / "glass-barn", "plan.yaml", "plan.yaml", "plan.yaml", 6),
    "saltmarsh-spring": Example(EXAMPLES / "saltmarsh-spring", "venues/*.yaml", "tour.yaml", "models.yaml", 15),
    "willow-court": Example(EXAMPLES / "willow-court", "services/*.yaml", "tour.yaml", "models.yaml", 9),
    "harrow-green": Example(EXAMPLES / "harrow-green", "plan.yaml", "plan.yaml", "models.yaml", 25),
    "lantern-street": Example(EXAMPLES / "lantern-street", "venues/*.yaml", "tour.yaml", "models.yaml", 28),
}
BROKEN = {
    "saltmarsh-broken": Example(HERE / "saltmarsh-broken", "venues/*.yaml", "tour.yaml", "models.yaml", 10),
    "willow-court-broken": Example(HERE / "willow-court-broken", "services/*.yaml", "tour.yaml", "models.yaml", 6),
    "harrow-green-broken": Example(HERE / "harrow-green-broken", "plan.yaml", "plan.yaml", "models.yaml", 15),
    "lantern-street-broken": Example(HERE / "lantern-street-broken", "venues/*.yaml", "tour.yaml", "models.yaml", 20),
}
UNREADABLE = HERE / "unreadable"
EXPECTED = {
    "saltmarsh-broken": "broken_expected.yaml",
    "willow-court-broken": "willow_court_expected.yaml",
    "harrow-green-broken": "harrow_green_expected.yaml",
    "lantern-street-broken": "lantern_street_expected.yaml",
}


class _TextLoader(yaml.SafeLoader):
    """Reads every plain scalar as text, so that no carrier becomes a float."""


_TextLoader.yaml_implicit_resolvers = {}


def read(path: Path) -> Any:
    """Return a YAML file with every scalar as text."""
    return yaml.load(path.read_text("utf-8"), Loader=_TextLoader)  # a SafeLoader


def emissions(example: Example, show: Path, *, spares: bool) -> dict[str, Emission]:
    """Return every carrier of one show, whenever it is on the air: links, others, spares if wanted."""
    plan, tour = read(show), read(example.folder / example.tour)
    links, devices = tour["links"], tour["devices"]
    models = read(example.folder / example.models)["models"]
    widths = {name: model.get("emission_khz") for name, model in models.items()}
    kinds: dict[str, int] = {}
    found: dict[str, Emission] = {}
    carriers = {**{name: link for name, link in links.items() if "carrier_mhz" in link}, **plan["carriers"]}
    for name, link in links.items():
        entry = carriers.get(name, {})
        if "self_tuned" in entry or entry.get("carrier_mhz") == "auto":
            continue  # its units pick their own carrier, or none is assigned yet
        width_hz = int(widths[devices[link.get("tx") or link["mic"]]["model"]]) * 1000
        kinds[link["kind"]] = max(kinds.get(link["kind"], 0), width_hz)
        if "carrier_mhz" in entry:
            found[name] = Emission(hertz(entry["carrier_mhz"]), width_hz)
    for name, other in (plan["spectrum"].get("others_on_air") or {}).items():
        if isinstance(other, dict) and "carrier_mhz" in other:
            found[name] = Emission(hertz(other["carrier_mhz"]), int(other["emission_khz"]) * 1000)
    for kind, carriers_mhz in plan["spares_mhz"].items() if spares else ():
        for number, carrier in enumerate(carriers_mhz):
            found[f"spare-{kind}-{number}"] = Emission(hertz(carrier), kinds[kind])
    return found


def on_air(example: Example, show: Path) -> set[frozenset[str]]:
    """Return the different sets of ids that are on the air together, found by looking at every minute of two days.

    In a show each scene is looked at by itself, and of the links in one wide emission the first stands for all.
    """
    plan, tour = read(show), read(example.folder / example.tour)
    links, scenes = tour["links"], [set(scene["on_air"]) for scene in tour.get("scenes", ())]
    staged = set().union(*scenes)
    others = dict(plan["spectrum"].get("others_on_air") or {})
    for act in (plan.get("acts") or {}).values():  # whoever writes no times of their own has their act's
        for name in act.get("holds", ()):
            if name in others and "at" not in others[name] and "until" not in others[name]:
                others[name] = {"at": act.get("line_check", act["at"]), "until": act["until"]}
    first: dict[str, str] = {}
    for name in sorted(links):
        if "wide_emission" in links[name]:
            first.setdefault(links[name]["wide_emission"], name)
    unused = {name for name, entry in plan["carriers"].items() if "unused" in entry}
    main = {name for name, link in links.items() if "stands_in_for" not in link} - unused
    entries = _entries(plan["day"])
    named = {name for _, _, names in entries if isinstance(names, list) for name in names}
    shows = _entries([entry for entry in plan["day"] if entry["what"] == "show"])
    found: set[frozenset[str]] = set()
    for minute in range(2 * MINUTES_PER_DAY):
        on = main - named - staged
        for start, end, names in entries:
            if start <= minute < end and names is not None:
                on = on | (main if names == "all" else set(names))
        for name, other in others.items():
            if "at" not in other and "until" not in other:
                on = on if name in named else on | {name}
            elif _minute(other.get("at", "00:00")) <= minute < _end(other):
                on = on | {name}
        played = scenes if any(start <= minute < end for start, end, _ in shows) else []
        for here in played or [on]:
            seen = (on - staged) | (here & (on | (staged - named))) if played else on
            found.add(frozenset(first.get(links.get(name, {}).get("wide_emission", ""), name) for name in seen))
    return {ids for ids in found if not any(ids < more for more in found)}


def _entries(day: list[dict[str, Any]]) -> list[tuple[int, int, Any]]:
    starts = [_minute(entry["at"]) for entry in day]
    last = max(_end(entry) if "until" in entry else _minute(entry["at"]) for entry in day)
    following = [*starts[1:], last]
    return [
        (start, _end(entry) if "until" in entry else after, entry.get("on_air"))
        for entry, start, after in zip(day, starts, following, strict=True)
    ]


def _end(entry: dict[str, Any]) -> int:
    if "until" not in entry:
        return 2 * MINUTES_PER_DAY
    start, end = _minute(entry.get("at", "00:00")), _minute(entry["until"])
    return end if end >= start else end + MINUTES_PER_DAY


def _minute(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
