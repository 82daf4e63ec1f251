"""The kinds of plan file: which root key belongs to which, and how each kind's schema follows from `plan`'s.

Every key is written once, in `schemas/plan.schema.json`. The schemas of the other kinds hold a part of it;
`python -m planlint.schema.kinds` writes them again after a change.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["HOLDS", "KEYS_NOT_OF_A_TOURS_LINK", "KEYS_OF_KIND", "KINDS", "derive", "write_derived"]

Schema = dict[str, Any]

_EVERY_FILE = ("plan_format", "kind")
_TOUR = (
    *("tour", "licences", "policy", "people", "earphones", "pack_defaults", "racks", "devices", "mixes"),
    *("groups", "group_overrides_mhz", "links", "waivers", "ships", "fallback", "if_lost"),
    *("chargers", "scenes", "duties", "roster"),
)
_VENUE = (
    *("show", "spectrum", "scans", "carriers", "spares_mhz", "antennas", "apart_m", "reach", "day", "hired"),
    *("acts", "stages", "told", "cautions", "waivers"),
)
_MODELS = ("models",)
_REGION = ("region", "name", "checked", "tv", "classes", "rows", "closed", "land_mobile")
_AS_SET = ("found",)

KEYS_OF_KIND: dict[str, frozenset[str]] = {
    "plan": frozenset((*_EVERY_FILE, "uses", *_TOUR, *_VENUE, *_MODELS, *_REGION, *_AS_SET)),
    "tour": frozenset((*_EVERY_FILE, "uses", *_TOUR)),
    "venue": frozenset((*_EVERY_FILE, "uses", *_VENUE)),
    "models": frozenset((*_EVERY_FILE, *_MODELS)),
    "region": frozenset((*_EVERY_FILE, *_REGION)),
    "as-set": frozenset((*_EVERY_FILE, "uses", *_AS_SET)),
}
"""The root keys that a file of each kind may hold."""

KINDS = tuple(KEYS_OF_KIND)

HOLDS = {
    "plan": "Everything in one file, the form of a small band or a one-off show: "
    "it may hold any key of the other kinds.",
    "tour": "People, earphones, devices, racks, mixes, links, house policy, licences: what the tour decides.",
    "venue": "One show: spectrum, scans, every carrier, antennas, distances, the day: what the venue forces.",
    "models": "What types of unit can do, copied from their data sheets by the crew.",
    "region": "What a country's rules allow, each row with its document, clause and status.",
    "as-set": "What the units really showed after the show.",
}
"""One sentence on what a file of each kind holds."""

_REQUIRED_OF_KIND = {
    "venue": ("uses",),
    "models": ("models",),
    "region": ("region",),
    "as-set": ("uses", "found"),
}

KEYS_NOT_OF_A_TOURS_LINK = ("carrier_mhz", "power_mw", "self_tuned", "takes_channels")
"""Keys of a link that only a plan file writes there."""

_ABSENT_FROM_KIND = {"tour": {"link": KEYS_NOT_OF_A_TOURS_LINK}}
"""Keys of a definition that a kind does without: a tour's links own no carrier, each venue lists them."""

_REF_PREFIX = "#/$defs/"


def derive(plan_schema: Schema, kind: str) -> Schema:
    """The schema of one kind, made from the schema of `plan`.

    Args:
        plan_schema: the content of `schemas/plan.schema.json`; it is not changed.
        kind: one of `KINDS`.

    Returns:
        A new schema with the root keys of the kind, in the order of `plan_schema`, and the definitions they
        reach. Parts that do not differ are shared with `plan_schema`, so change neither.

    Raises:
        KeyError: there is no such kind.
    """
    keys = KEYS_OF_KIND[kind]
    properties = {key: value for key, value in plan_schema["properties"].items() if key in keys}
    properties["kind"] = {**properties["kind"], "const": kind, "examples": [kind]}
    definitions = dict(plan_schema["$defs"])
    for name, absent in _ABSENT_FROM_KIND.get(kind, {}).items():
        definitions[name] = _without(definitions[name], absent)
    reached = _reachable(properties, definitions)
    return {
        **plan_schema,
        "$id": plan_schema["$id"].removesuffix("plan") + kind,
        "title": kind.capitalize(),
        "description": HOLDS[kind],
        "required": [*plan_schema["required"], *_REQUIRED_OF_KIND.get(kind, ())],
        "properties": properties,
        "$defs": {name: value for name, value in definitions.items() if name in reached},
    }


def _without(definition: Schema, absent: tuple[str, ...]) -> Schema:
    properties = {key: value for key, value in definition["properties"].items() if key not in absent}
    return {**definition, "properties": properties}


def _reachable(properties: Schema, definitions: Schema) -> set[str]:
    """The names of the definitions that the properties refer to, directly or through others."""
    reached: set[str] = set()
    waiting: list[Any] = [properties]
    while waiting:
        node = waiting.pop()
        if isinstance(node, list):
            waiting.extend(node)
        elif isinstance(node, dict):
            waiting.extend(node.values())
            target = node.get("$ref")
            if isinstance(target, str) and (name := target.removeprefix(_REF_PREFIX)) not in reached:
                reached.add(name)
                waiting.append(definitions[name])
    return reached


def write_derived(folder: Path) -> None:
    """Write the schema files of all kinds but `plan` beside `plan.schema.json` in the folder."""
    import json

    plan_schema = json.loads((folder / "plan.schema.json").read_text(encoding="utf-8"))
    for kind in KINDS[1:]:
        text = json.dumps(derive(plan_schema, kind), indent=2, ensure_ascii=False) + "\n"
        (folder / f"{kind}.schema.json").write_text(text, encoding="utf-8", newline="\n")


def _main() -> None:
    from pathlib import Path

    write_derived(Path(__file__).resolve().parents[2] / "schemas")


if __name__ == "__main__":
    _main()
