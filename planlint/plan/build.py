"""Plain values to the typed plan; an id that does not exist counts as unwritten and is kept as a reference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from planlint.document.nodes import escape
from planlint.plan.build_acts import build_acts
from planlint.plan.build_day import build_day, build_scenes
from planlint.plan.build_links import build_links
from planlint.plan.build_region import build_region, shipped_region
from planlint.plan.model import Act, Device, Kind, Model, Other, Plan, Range, Spare, Waiver
from planlint.plan.quantity import minutes, to_hz
from planlint.plan.references import references
from planlint.plan.resolve import Resolved
from planlint.plan.shelf import Shelf, shipped_regions

_ID_SECTIONS = ("links", "devices", "antennas", "racks", "people", "mixes", "earphones", "groups", "models", "scans",
                "licences", "stages", "duties")  # fmt: skip


def build(resolved: Resolved, shelf: Shelf) -> Plan:
    """Build the typed plan of one resolved venue, plan or tour; of a record, that of the show it is about."""
    values = resolved.values
    kind, file = _show(resolved)
    show = _map(values, "show")
    acts = tuple(build_acts(_map(values, "acts")))
    others = dict(_others(_map(_map(values, "spectrum"), "others_on_air"), acts))
    models = dict(_models(_map(values, "models")))
    devices = dict(_devices(values, models))
    region_id, region_at = _region_id(values, show)
    links = build_links(values, venue=kind == "venue", plan=kind == "plan")
    ids = {section: frozenset(_map(values, section)) for section in _ID_SECTIONS}
    scenes = build_scenes(values.get("scenes"))
    ids["others_on_air"] = frozenset(others)
    ids["scenes"] = frozenset(scene.name for scene in scenes)
    ids["self_tuning_bands"] = frozenset(_map(_map(values, "spectrum"), "self_tuning_bands"))
    ids["regions"] = frozenset(resolved.regions) | frozenset(shipped_regions())
    region = None
    if "rows" in values:
        region = build_region(values, file)
    elif region_id in resolved.regions:
        region = build_region(*resolved.regions[region_id])
    elif region_id is not None:
        region = shipped_region(shelf, region_id)
    return Plan(
        file=file,
        kind=kind,
        values=values,
        show=show,
        region_id=region_id,
        region_at=region_at,
        region=region,
        models=models,
        devices=devices,
        links=links,
        others=others,
        spares=tuple(_spares(_map(values, "spares_mhz"))),
        day=build_day(values.get("day")),
        acts=acts,
        waivers=tuple(_waivers(values.get("waivers"))),
        references=tuple(references(values, region_id, region_at)),
        ids=ids,
        scenes=scenes,
    )


def _show(resolved: Resolved) -> tuple[str, str]:
    """Return the kind and file of the plan: of a record, those of the venue or plan that it uses."""
    if resolved.kind == "as-set":
        for judged in resolved.files:
            if judged.kind in {"venue", "plan"}:
                return judged.kind, judged.document.file
    return resolved.kind, resolved.file


def _map(values: Mapping[str, Any], key: str) -> dict[str, Any]:
    value = values.get(key)
    return value if isinstance(value, dict) else {}


def _region_id(values: Mapping[str, Any], show: Mapping[str, Any]) -> tuple[str | None, str]:
    if isinstance(show.get("region"), str):
        return show["region"], "/show/region"
    region = _map(values, "tour").get("region")
    if isinstance(region, str):
        return region, "/tour/region"
    own = values.get("region")
    return (own, "/region") if isinstance(own, str) else (None, "/show/region")


def _models(models: Mapping[str, Any]) -> Iterator[tuple[str, Model]]:
    for name, spec in models.items():
        if not isinstance(spec, dict):
            continue
        tuning = tuple(
            Range(to_hz(part["low"], "mhz"), to_hz(part["high"], "mhz"))
            for part in spec.get("tuning_mhz", ())
            if "low" in part and "high" in part
        )
        step, emission = spec.get("step_khz"), spec.get("emission_khz")
        yield (
            name,
            Model(
                id=name,
                role=spec.get("role"),
                tuning=tuning,
                step_hz=None if step is None else to_hz(step, "khz"),
                emission_hz=None if emission is None else to_hz(emission, "khz"),
                spec=spec,
                at=f"/models/{escape(name)}",
            ),
        )


def _devices(values: Mapping[str, Any], models: Mapping[str, Model]) -> Iterator[tuple[str, Device]]:
    hired = _map(values, "hired")
    racks = {
        device: rack
        for rack, spec in _map(values, "racks").items()
        for device in (spec.get("holds", ()) if isinstance(spec, dict) else ())
    }
    for name, spec in _map(values, "devices").items():
        if not isinstance(spec, dict):
            continue
        planned = spec.get("model")
        replacement = hired.get(name)
        model_id = replacement.get("model", planned) if isinstance(replacement, dict) else planned
        yield (
            name,
            Device(
                id=name,
                model_id=model_id,
                model=models.get(model_id) if model_id else None,
                hired=isinstance(replacement, dict),
                planned_model=models.get(planned) if planned else None,
                rack=racks.get(name),
                spec=spec,
                at=f"/devices/{escape(name)}",
            ),
        )


def _others(others: Mapping[str, Any], acts: tuple[Act, ...]) -> Iterator[tuple[str, Other]]:
    of_act = {name: act for act in reversed(acts) for name in act.holds}
    for name, spec in others.items():
        if not isinstance(spec, dict):
            continue
        carrier, emission, start, end = (spec.get(key) for key in ("carrier_mhz", "emission_khz", "at", "until"))
        start_min = None if start is None else minutes(start)
        end_min = None if end is None else minutes(end)
        if start_min is not None and end_min is not None and end_min < start_min:
            end_min += 24 * 60
        if start is None and end is None and name in of_act:
            start_min, end_min = of_act[name].on_min, of_act[name].end_min
        yield (
            name,
            Other(
                id=name,
                kind=cast("Kind | None", spec.get("kind")),
                carrier_hz=None if carrier is None else to_hz(carrier, "mhz"),
                emission_hz=None if emission is None else to_hz(emission, "khz"),
                who=spec.get("who"),
                may_move=spec.get("may_move"),
                start_min=start_min,
                end_min=end_min,
                power_mw=None if spec.get("power_mw") is None else float(spec["power_mw"]),
                spec=spec,
                at=f"/spectrum/others_on_air/{escape(name)}",
                self_tuned=spec.get("self_tuned"),
                takes_channels=spec.get("takes_channels"),
            ),
        )


def _spares(spares: Mapping[str, Any]) -> Iterator[Spare]:
    for kind, carriers in spares.items():
        for index, carrier in enumerate(carriers if isinstance(carriers, list) else ()):
            at = f"/spares_mhz/{escape(kind)}/{index}"
            yield Spare(cast("Kind", kind), to_hz(carrier, "mhz"), at)


def _waivers(waivers: Any) -> Iterator[Waiver]:
    for index, spec in enumerate(waivers if isinstance(waivers, list) else ()):
        yield Waiver(
            rule=spec.get("rule"),
            covers=tuple(spec.get("covers", ())),
            because=spec.get("because"),
            by=spec.get("by"),
            until=spec.get("until"),
            accept=spec.get("accept", {}),
            by_route=spec.get("by_route"),
            at=f"/waivers/{index}",
        )
