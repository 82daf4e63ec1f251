"""Which combiners, splitters and antennas a unit's antenna socket leads to."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Device, Plan

Way = Literal["out", "in"]

#: What an unwritten `into` may mean in a rack, by the way the signal goes.
BOX_ROLES: dict[Way, str] = {"out": "combiner", "in": "splitter"}


class Route(NamedTuple):
    """The way from a socket to the air.

    Attributes:
        device: the unit.
        boxes: combiners, splitters and other parts that it goes through, the unit's side first.
        antennas: the antennas at the end; none where the last unit's own antenna is.
        needs: pointers to write where the way on from the last of `boxes` is not known.
    """

    device: str
    boxes: tuple[str, ...] = ()
    antennas: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()


def way_of(plan: Plan, device: Device) -> Way | None:
    """Return which way a unit's signal goes, by its model's role or else by its links; None where neither says."""
    role = device.model.role if device.model else None
    if role in {"ear-transmitter", "mic-transmitter"}:
        return "out"
    if role == "mic-receiver":
        return "in"
    if any(link.tx == device.id for link in plan.links.values()):
        return "out"
    return "in" if any(link.rx == device.id for link in plan.links.values()) else None


def plugged_into(plan: Plan, device: Device, way: Way | None) -> str | None:
    """Return what a unit's socket plugs into (`none` for its own antenna), or None where that is not known.

    A microphone transmitter is worn or held: where nothing is written it has its own antenna.
    """
    into = device.spec.get("into")
    if into is not None:
        known = into == "none" or into in plan.devices or into in plan.section("antennas")
        return str(into) if known else None
    if device.model and device.model.role == "mic-transmitter":
        return "none"
    if device.rack is None or way is None:
        return None
    boxes = [
        other.id
        for other in plan.devices.values()
        if other.rack == device.rack and other.model and other.model.role == BOX_ROLES[way] and other != device
    ]
    return boxes[0] if len(boxes) == 1 else None


def route(plan: Plan, device: Device, way: Way, kind: str | None) -> Route:
    """Return the way from a unit's socket to the air.

    Args:
        plan: the plan.
        device: the unit.
        way: `out` for a transmitter, `in` for a receiver.
        kind: what its link is; antennas written for another kind are passed over where a box feeds several.
    """
    into, at = plugged_into(plan, device, way), f"{device.at}/into"
    boxes: list[str] = []
    while into is not None and into in plan.devices:
        if into in boxes or into == device.id:
            return Route(device.id, needs=(at,))
        boxes.append(into)
        box = plan.devices[into]
        if "into" not in box.spec:
            fed = _fed(plan, box.id, kind)
            return Route(device.id, tuple(boxes), fed, () if fed else ("/antennas",))
        into, at = plugged_into(plan, box, way), f"{box.at}/into"
    if into is None:
        return Route(device.id, tuple(boxes), (), (at,))
    if into == "none":
        return Route(device.id, tuple(boxes))
    through = plan.section("antennas")[into].get("through")
    if through in plan.devices and through not in boxes:
        boxes.append(through)
    return Route(device.id, tuple(boxes), (into,))


def plugged_in(plan: Plan, box: str) -> tuple[str, ...]:
    """Return the ids of the units and boxes whose sockets plug into a combiner or splitter, in order.

    A unit that plugs straight into an antenna which is fed through the box takes a port of it too.
    """
    antennas = plan.section("antennas")
    fed = {name for name in antennas if isinstance(antennas[name], dict) and antennas[name].get("through") == box}
    return tuple(
        name
        for name in sorted(plan.devices)
        if name != box and plugged_into(plan, plan.devices[name], way_of(plan, plan.devices[name])) in {box, *fed}
    )


def way_out(plan: Plan, device: Device, kind: str | None) -> Route:
    """Return a transmitter's way out; where it leads to several antennas, which one is not known."""
    found = route(plan, device, "out", kind)
    if len(found.antennas) > 1:
        at = tuple(f"/antennas/{escape(name)}/for" for name in found.antennas)
        return found._replace(antennas=(), needs=at)
    return found


def _fed(plan: Plan, box: str, kind: str | None) -> tuple[str, ...]:
    def serves(spec: dict[str, Any]) -> bool:
        return spec.get("through") == box and spec.get("for", kind) == kind

    antennas = plan.section("antennas")
    return tuple(name for name in sorted(antennas) if isinstance(antennas[name], dict) and serves(antennas[name]))
