"""Every mention of an id in a plan, with the namespaces it may come from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from planlint.document import Trouble
from planlint.document.nodes import Span, escape
from planlint.plan.model import Plan, Reference
from planlint.plan.resolve import Resolved

_ON_AIR = ("links", "others_on_air")
_ANYTHING = ("links", "others_on_air", "devices", "antennas", "racks", "people", "mixes", "groups", "scans", "licences",
             "models", "duties")  # fmt: skip
#: Where the items of a map name things: section, then key path with `*` for any key, then namespaces.
#: A trailing `<` says that the keys at that place are the ids, not the values.
_TABLE: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("people/*/ears", ("earphones",)),
    ("racks/*/holds", ("devices",)),
    ("devices/*/model", ("models",)),
    ("devices/*/into", ("devices", "antennas")),
    ("mixes/*/for", ("people",)),
    ("groups/*/stored_in", ("devices",)),
    ("group_overrides_mhz<", ("devices",)),
    ("group_overrides_mhz/*<", ("groups",)),
    ("links/*/tx", ("devices",)),
    ("links/*/mic", ("devices",)),
    ("links/*/rx", ("devices",)),
    ("links/*/loop_from", ("devices",)),
    ("links/*/person", ("people",)),
    ("links/*/stands_in_for", ("links",)),
    ("links/*/doubles", ("links",)),
    ("links/*/feed/*", ("mixes",)),
    ("links/*/packs<", ("devices",)),
    ("links/*/packs/*/person", ("people",)),
    ("links/*/packs/*/stands_in_for", ("devices",)),
    ("links/*/packs/*/doubles", ("devices",)),
    ("links/*/packs/*/listens_to", ("links",)),
    ("carriers<", ("links",)),
    ("carriers/*/stored<", ("groups",)),
    ("hired<", ("devices",)),
    ("hired/*/model", ("models",)),
    ("antennas/*/through", ("devices",)),
    ("apart_m<", ("antennas", "devices", "racks")),
    ("apart_m/*<", ("antennas", "devices", "racks")),
    ("reach<", ("people",)),
    ("fallback<", ("people",)),
    ("if_lost<", ("devices",)),
    ("acts/*/holds", _ON_AIR),
    ("acts/*/stage", ("stages",)),
    ("stages/*/apart_m<", ("stages",)),
    ("told", ("people",)),
    ("links/*/self_tuned", ("self_tuning_bands",)),
    ("carriers/*/self_tuned", ("self_tuning_bands",)),
    ("spectrum/others_on_air/*/self_tuned", ("self_tuning_bands",)),
    ("scenes/*/on_air", _ON_AIR),
    ("day/*/scenes", ("scenes",)),
    ("roster/*/present", ("people",)),
    ("roster/*/away", ("people",)),
    ("roster/*/duties<", ("duties",)),
    ("roster/*/duties/*", ("people",)),
    ("show/duties", ("duties",)),
    ("day/*/on_air", _ON_AIR),
    ("day/*/units", ("devices",)),
    ("found<", ("devices",)),
    ("waivers/*/covers", _ANYTHING),
)
_WORDS = frozenset({"none", "all", "default_m"})


def references(values: Mapping[str, Any], region: str | None, region_at: str) -> Iterator[Reference]:
    """Yield every reference of a plan's values, in the table's order."""
    if region is not None and "rows" not in values:
        yield Reference(region_at, region, ("regions",), key=False)
    for path, spaces in _TABLE:
        keys = path.endswith("<")
        for at, node in _find(values, path.rstrip("<").split("/"), ""):
            if keys:
                names: Iterable[tuple[str, str]] = ((f"{at}/{escape(str(key))}", str(key)) for key in _keys(node))
            elif isinstance(node, list):
                names = ((f"{at}/{index}", item) for index, item in enumerate(node) if isinstance(item, str))
            else:
                names = ((at, node),) if isinstance(node, str) else ()
            for where, name in names:
                if name not in _WORDS:
                    yield Reference(where, name, spaces, key=keys)


def unknown(plan: Plan, resolved: Resolved) -> Iterator[tuple[str, Trouble]]:
    """Yield, by file, a trouble for each reference to an id that the plan does not define."""
    for reference in plan.references:
        if any(reference.id in plan.ids.get(space, ()) for space in reference.spaces):
            continue
        from planlint.schema.describe import nearest

        known = sorted(name for space in reference.spaces for name in plan.ids.get(space, ()))
        values = {"id": reference.id, "space": " or ".join(reference.spaces[:3])}
        near = nearest(reference.id, known)
        place = resolved.place(reference.at, key=reference.key)
        span = Span(place.line, place.column, place.end_line, place.end_column)
        yield place.file, Trouble("unknown-id", span, place.pointer, values | ({"near": near} if near else {}))


def _keys(node: Any) -> Iterable[Any]:
    return node if isinstance(node, dict) else ()


def _find(node: Any, path: list[str], at: str) -> Iterator[tuple[str, Any]]:
    if not path:
        yield at, node
        return
    head, rest = path[0], path[1:]
    if head != "*":
        if isinstance(node, dict) and head in node:
            yield from _find(node[head], rest, f"{at}/{escape(head)}")
    elif isinstance(node, dict):
        for key, child in node.items():
            yield from _find(child, rest, f"{at}/{escape(str(key))}")
    elif isinstance(node, list):
        for index, child in enumerate(node):
            yield from _find(child, rest, f"{at}/{index}")
