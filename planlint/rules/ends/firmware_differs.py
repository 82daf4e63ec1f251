"""Units of one family and role that run different firmware.

What goes wrong: after an update one spare was in another case. Units of different versions may refuse each
other, or show the same setting and mean another. Families whose model writes none are taken by model.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, family: north}, pack-n: {role: ear-pack, family: north}}
    devices:
      TX-1: {model: tx-n, firmware: 3.0.2}
      PK-1: {model: pack-n, firmware: 2.4.1}
      PK-S: {model: pack-n, firmware: 2.3.0}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, family: north}, pack-n: {role: ear-pack, family: north}}
    devices:
      TX-1: {model: tx-n, firmware: 3.0.2}
      PK-1: {model: pack-n, firmware: 2.4.1}
      PK-S: {model: pack-n, firmware: 2.4.1}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each family and role in use with more than one version."""
    used = _in_use(plan)
    if not used:
        yield Unchecked(("/devices",))
    families: dict[tuple[str, str], dict[str, list[Device]]] = {}
    for name in sorted(used):
        device = plan.devices[name]
        version = _firmware(plan, device)
        if device.model is None:
            yield Unchecked((f"{device.at}/model",), (name,))
        elif version is None:
            yield Unchecked((_at(device),), (name,))
        else:
            kin = (str(device.model.spec.get("family", device.model.id)), device.model.role or "unit")
            families.setdefault(kin, {}).setdefault(version, []).append(device)
    for kin in sorted(families):
        if len(families[kin]) > 1:
            yield _fault(kin, families[kin], used)


def _in_use(plan: Plan) -> dict[str, set[str]]:
    """Return the units on links used tonight, each with its links."""
    found: dict[str, set[str]] = {}
    for link in plan.links.values():
        for end in ends(plan, link) if link.used else ():
            found.setdefault(end.device, set()).add(link.id)
    return found


def _firmware(plan: Plan, device: Device) -> str | None:
    spec = plan.section("hired").get(device.id, {}) if device.hired else device.spec
    version = spec.get("firmware")
    return version if isinstance(version, str) else None


def _at(device: Device) -> str:
    return f"/hired/{escape(device.id)}/firmware" if device.hired else f"{device.at}/firmware"


def _fault(kin: tuple[str, str], versions: dict[str, list[Device]], used: dict[str, set[str]]) -> Fault:
    family, role = kin
    rarest_first = sorted(versions, key=lambda version: (len(versions[version]), version))
    odd, rest = versions[rarest_first[0]], rarest_first[1:]
    names = joined(device.id for device in odd)
    others = ", ".join(f"{version} on {joined(device.id for device in versions[version])}" for version in rest)
    concerned = [device for version in rarest_first for device in versions[version]]
    links = sorted({link for device in odd for link in used[device.id]})
    return Fault(
        _at(odd[0]),
        f"{family} ({role}): firmware {rarest_first[0]} on {names}, {others}. Units of different versions may refuse "
        "each other: bring them to one version, or try them together before the day.",
        (*(device.id for device in concerned), *links),
        {"family": family, "role": role, "versions": ", ".join(sorted(versions))},
        tuple(Mark(_at(device), device.id) for device in concerned if device is not odd[0]),
    )
