"""The example plans as a plain YAML reader sees them: carriers and widths, without planlint."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from tests.examples.relations import Emission, hertz

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
CLEAN = ("glass-barn", "saltmarsh-spring")
BROKEN = Path(__file__).parent / "saltmarsh-broken"
UNREADABLE = Path(__file__).parent / "unreadable"


class _TextLoader(yaml.SafeLoader):
    """Reads every plain scalar as text, so that no carrier becomes a float."""


_TextLoader.yaml_implicit_resolvers = {}


def read(path: Path) -> Any:
    """Return a YAML file with every scalar as text."""
    return yaml.load(path.read_text("utf-8"), Loader=_TextLoader)  # a SafeLoader


def emissions(show: Path, tour: Path, models: Path, *, spares: bool) -> dict[str, Emission]:
    """Return what can be on the air together at one show: links that are no stand-in, others, spares if wanted."""
    plan, links, devices = read(show), read(tour)["links"], read(tour)["devices"]
    widths = {name: model.get("emission_khz") for name, model in read(models)["models"].items()}
    kinds: dict[str, int] = {}
    found: dict[str, Emission] = {}
    carriers = {**{name: link for name, link in links.items() if "carrier_mhz" in link}, **plan["carriers"]}
    for name, link in links.items():
        entry = carriers.get(name, {})
        width_hz = int(widths[devices[link.get("tx") or link["mic"]]["model"]]) * 1000
        kinds[link["kind"]] = max(kinds.get(link["kind"], 0), width_hz)
        if "carrier_mhz" in entry and "stands_in_for" not in link:
            found[name] = Emission(hertz(entry["carrier_mhz"]), width_hz)
    for name, other in (plan["spectrum"].get("others_on_air") or {}).items():
        if isinstance(other, dict) and "carrier_mhz" in other:
            found[name] = Emission(hertz(other["carrier_mhz"]), int(other["emission_khz"]) * 1000)
    for kind, carriers_mhz in plan["spares_mhz"].items() if spares else ():
        for number, carrier in enumerate(carriers_mhz):
            found[f"spare-{kind}-{number}"] = Emission(hertz(carrier), kinds[kind])
    return found
