"""The TV raster, or a unit's variant, belongs to another region than the show.

What goes wrong: a border was crossed and the file was not changed. With the wrong raster every occupied-channel
check counts the wrong channels; a unit of another region's variant may send where or how this region does not
let it.

Bad::

    plan_format: 1
    kind: plan
    show: {region: gb}
    spectrum: {tv_raster: us-6mhz}
    models: {tx-u: {role: ear-transmitter, regions: [us]}}
    devices: {TX-1: {model: tx-u}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 606.700}}

Good::

    plan_format: 1
    kind: plan
    show: {region: gb}
    spectrum: {tv_raster: eu-8mhz}
    models: {tx-e: {role: ear-transmitter, regions: [eu, gb]}}
    devices: {TX-1: {model: tx-e}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 606.700}}

`regions` of a model lists every region its variant is made for, by the ids of region files.

Source: the region file's raster, and the models' data sheets.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.facts.ends import End, ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="law", source="the region file's raster, and the models' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for a raster of another region, and for each model of units made for other regions."""
    if plan.region_id is None:
        yield Unchecked((plan.region_at,))
        return
    yield from _raster(plan)
    used: dict[str, list[tuple[str, End]]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        for end in ends(plan, link) if link.used else ():
            if end.model is None:
                yield Unchecked((model_at(plan.devices[end.device]),), (name, end.device))
            elif "regions" not in end.model.spec:
                yield Unchecked((f"{end.model.at}/regions",), (name, end.device))
            elif plan.region_id not in end.model.spec["regions"]:
                used.setdefault(end.model.id, []).append((name, end))
    if not any(True for link in plan.links.values() for _ in ends(plan, link)):
        yield Unchecked(("/devices",))
    for model in sorted(used):
        yield _variant(plan, plan.region_id, model, used[model])


def _raster(plan: Plan) -> Iterator[Fault | Unchecked]:
    own = plan.section("spectrum").get("tv_raster")
    if not isinstance(own, str):
        return
    if plan.region is None or plan.region.raster is None:
        yield Unchecked(("/tv/raster",))
    elif own != plan.region.raster:
        yield Fault(
            "/spectrum/tv_raster",
            f"The TV raster here is {own}, region {plan.region.id} uses {plan.region.raster}: every check of occupied "
            "channels counts the wrong ones. Correct the region first, then delete tv_raster or write the region's.",
            (),
            {"raster": own, "region_raster": plan.region.raster},
            (Mark(plan.region_at, "the region is written here"),),
        )


def _variant(plan: Plan, region: str, model: str, users: list[tuple[str, End]]) -> Fault:
    devices = sorted({end.device for _, end in users})
    links = sorted({name for name, _ in users})
    made_for = ", ".join(plan.models[model].spec["regions"]) or "none"
    return Fault(
        model_at(plan.devices[devices[0]]),
        f"{', '.join(devices)}: variant {model} is made for {made_for}, the show is in {region} ({', '.join(links)}). "
        "Hire the variant for this region at both ends of the link, or have its data sheet and the region's rules "
        "say that it may be used and write the region in its regions.",
        (*links, *devices),
        {"made_for": made_for, "region": region},
        (
            Mark(f"{plan.models[model].at}/regions", "the variant is made for these"),
            Mark(plan.region_at, "the region is written here"),
        ),
    )
