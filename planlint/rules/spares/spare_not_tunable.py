"""A spare carrier that not every unit of its kind can be set to.

What goes wrong: the spare is clean, and the one microphone that needs it tonight is of another band. Ranges and steps of
every unit on the links of the spare's kind are asked, spare packs among them.

Bad::

    plan_format: 1
    kind: plan
    models: {hand: {role: mic-transmitter, tuning_mhz: [{low: 550.000, high: 598.000}], step_khz: 25}}
    devices: {HH-1: {model: hand}}
    links: {mic-1: {kind: mic, mic: HH-1}}
    spares_mhz: {mic: [481.225]}

Good::

    plan_format: 1
    kind: plan
    models: {hand: {role: mic-transmitter, tuning_mhz: [{low: 550.000, high: 598.000}], step_khz: 25}}
    devices: {HH-1: {model: hand}}
    links: {mic-1: {kind: mic, mic: HH-1}}
    spares_mhz: {mic: [555.975]}

Source: the models' data sheets; exactly on a limit passes.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import End, ends, ranges_of
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Model, Spare
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.spare_wording import KIND_WORDS, lacking_spares, links_of_kind, spares_of

RULE = Rule(severity="warning", group="margin", source="the models' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each spare with the units of its kind that cannot be set to it."""
    yield from lacking_spares(plan)
    for kind in KIND_WORDS:
        spares = spares_of(plan, kind)
        links = links_of_kind(plan, kind)
        if not spares or not links:
            continue
        units: dict[str, End] = {}
        for link in links:
            found = list(ends(plan, link))
            if not found:
                yield Unchecked((f"{link.at}/{'mic' if kind == 'mic' else 'tx'}",), (link.id,))
            units.update((end.device, end) for end in found if end.job != "listens")
        for name in sorted(units):
            needs = _needs(plan, units[name])
            if needs:
                yield Unchecked(needs, (name,))
        for spare in spares:
            out = [end for _, end in sorted(units.items()) if end.model and not _can(end.model, spare.carrier_hz)]
            if out:
                yield _fault(spare, out, everyone=len(out) == len(units))


def _needs(plan: Plan, end: End) -> tuple[str, ...]:
    if end.model is None:
        return (f"{plan.devices[end.device].at}/model",)
    if not end.model.tuning:
        return (f"{end.model.at}/tuning_mhz",)
    return () if end.model.step_hz else (f"{end.model.at}/step_khz",)


def _can(model: Model, carrier_hz: int) -> bool:
    """Say whether a unit can be set to a carrier; what its model does not say does not stand against it."""
    if not model.tuning:
        return True
    return any((carrier_hz - span.low_hz) % (model.step_hz or 1) == 0 for span in ranges_of(model, carrier_hz))


def _fault(spare: Spare, out: list[End], *, everyone: bool) -> Fault:
    names = joined(end.device for end in out)
    who = "no unit" if everyone and len(out) > 1 else names
    cannot = "can be set to it" if everyone and len(out) > 1 else "cannot be set to it"
    return Fault(
        spare.at,
        f"spare {mhz(spare.carrier_hz)} ({KIND_WORDS[spare.kind]}): {who} {cannot}, by range or step. Choose one that all of them "
        "tune.",
        tuple(end.device for end in out),
        {"spare_mhz": mhz(spare.carrier_hz), "units": len(out)},
        tuple(Mark(end.model.at, f"{end.device}'s model", key=True) for end in out[:3] if end.model),
    )
