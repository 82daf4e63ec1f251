"""What a plan hangs on: each part that can be lost, and which links and packs go down with it.

A link needs its transmitter, its receiver, every combiner and splitter on the way, at least one antenna at the end of
each way, and the transmitters whose loop-through feeds it. A link or pack that doubles another holds the other up, and the
other it. Stand-ins are not on the air before something is lost: they go down too, and nobody goes quiet by that.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal, NamedTuple

from planlint.facts import spectrum
from planlint.facts.packs import main_packs
from planlint.facts.route import BOX_ROLES, Route, Way, route, way_out
from planlint.plan.model import Link, Plan
from planlint.rf.tv import channel_edges_hz, channels

if TYPE_CHECKING:
    from planlint.facts import Facts

LossKind = Literal["combiner", "splitter", "part", "antenna", "transmitter", "receiver", "pack", "tv-channel"]
KINDS: tuple[LossKind, ...] = (
    "combiner", "splitter", "part", "antenna", "transmitter", "receiver", "pack", "tv-channel",
)  # fmt: skip


class Loss(NamedTuple):
    """Something taken away: what it is and its id; of a TV channel its number, and its edges in Hz."""

    kind: LossKind
    id: str
    low_hz: int = 0
    high_hz: int = 0


class Needed(NamedTuple):
    """What one link needs.

    Attributes:
        units: transmitter, receiver, and transmitters whose loop-through feeds it.
        boxes: combiners, splitters and other parts on its ways.
        antennas: for each way that ends at antennas, those antennas: one of them is enough.
        unknown: for each way that is not known to its end: which way, and what to write.
    """

    units: frozenset[str]
    boxes: frozenset[str]
    antennas: tuple[frozenset[str], ...]
    unknown: tuple[tuple[Way, tuple[str, ...]], ...]


def played(plan: Plan) -> Iterator[Link]:
    """Yield each link used tonight that is no stand-in, by id."""
    return (plan.links[name] for name in sorted(plan.links) if plan.links[name].used and not is_spare(plan.links[name]))


def is_spare(link: Link) -> bool:
    """Say whether a link stands in for another."""
    return link.stands_in_for is not None


def needed(plan: Plan, link: Link) -> Needed:
    """Return what a link needs to work."""
    units = frozenset(unit for unit in (*_fed_by(plan, link), link.rx) if unit)
    routes = list(_routes(plan, link))
    return Needed(
        units,
        frozenset(box for _, way in routes for box in way.boxes),
        tuple(frozenset(way.antennas) for _, way in routes if way.antennas),
        tuple((which, way.needs) for which, way in routes if way.needs),
    )


def _fed_by(plan: Plan, link: Link) -> Iterator[str]:
    """Yield a link's transmitter and those whose loop-through feeds it, one behind the other."""
    seen: list[str] = []
    unit = link.tx
    while unit is not None and unit not in seen:
        seen.append(unit)
        loops = [other.spec.get("loop_from") for other in plan.links.values() if other.tx == unit]
        unit = next((str(loop) for loop in loops if loop is not None), None)
    yield from seen


def _routes(plan: Plan, link: Link) -> Iterator[tuple[Way, Route]]:
    """Yield the ways of a link's fixed ends; a microphone's transmitter is worn and has its own antenna."""
    sender, receiver = plan.devices.get(link.tx or ""), plan.devices.get(link.rx or "")
    if sender is not None and (link.kind == "ear" or "into" in sender.spec):
        yield "out", way_out(plan, sender, link.kind)
    if receiver is not None:
        yield "in", route(plan, receiver, "in", link.kind)


def losses(plan: Plan, facts: Facts) -> Iterator[Loss]:
    """Yield everything that is taken away in turn, by kind and id."""
    playing = list(played(plan))
    boxes = {box for link in plan.links.values() for box in needed(plan, link).boxes}
    roles = {device.id: device.model.role if device.model else None for device in plan.devices.values()}
    boxes |= {name for name, role in roles.items() if role in BOX_ROLES.values()}
    for name in sorted(boxes):
        role = roles[name]
        yield Loss("combiner" if role == "combiner" else "splitter" if role == "splitter" else "part", name)
    for name in sorted(plan.section("antennas")):
        yield Loss("antenna", name)
    for name in sorted({link.tx for link in playing if link.tx}):
        yield Loss("transmitter", name)
    for name in sorted({link.rx for link in playing if link.rx}):
        yield Loss("receiver", name)
    for name in sorted({pack.id for link in playing for pack in main_packs(link)}):
        yield Loss("pack", name)
    yield from _free_channels(plan, facts, playing)


def _free_channels(plan: Plan, facts: Facts, playing: list[Link]) -> Iterator[Loss]:
    """Yield each TV channel not known to be live that an emission of ours lies in, within the region's TV channels."""
    name, _ = spectrum.raster(plan)
    if name is None:
        return
    live = {channel.number for channel in facts.live_channels or ()}
    first = plan.region.first_channel if plan.region else None
    last = plan.region.last_channel if plan.region else None
    ours = [facts.edges(link.id) for link in playing if link.id in facts.carriers]
    for number in channels(name):
        low, high = channel_edges_hz(name, number)
        in_use = (first is None or first <= number) and (last is None or number <= last)
        if in_use and number not in live and any(low < edges[1] and edges[0] < high for edges in ours):
            yield Loss("tv-channel", str(number), low, high)


class Down:
    """What is down with one thing lost."""

    def __init__(self, facts: Facts, loss: Loss, needs: dict[str, Needed]) -> None:
        """Find what is down.

        Args:
            facts: the plan's facts.
            loss: what is lost.
            needs: what every link needs, by id.
        """
        self.loss = loss
        self._facts, self._needs = facts, needs
        self.links = frozenset(name for name, need in needs.items() if self._is_down(name, need))

    def _is_down(self, name: str, need: Needed) -> bool:
        loss = self.loss
        if loss.kind == "tv-channel":
            if name not in self._facts.carriers:
                return False
            low, high = self._facts.edges(name)
            return loss.low_hz < high and low < loss.high_hz
        return loss.id in need.units | need.boxes or frozenset({loss.id}) in need.antennas

    def weakened(self) -> tuple[str, ...]:
        """Return the links that stay up on another antenna, by id."""
        return tuple(
            name for name in sorted(self._needs)
            if name not in self.links and any(self.loss.id in group for group in self._needs[name].antennas)
        )  # fmt: skip

    def unknown(self, plan: Plan) -> tuple[str, ...]:
        """Return what to write so that it is known whether links that are not down would be, in order."""
        if self.loss.kind == "antenna":
            serves = plan.section("antennas")[self.loss.id].get("for")
            ways: frozenset[Way] = frozenset({"out", "in"})
        elif self.loss.kind in {"combiner", "splitter", "part"}:
            serves = None
            ways = frozenset(
                {"out"} if self.loss.kind == "combiner" else {"in"} if self.loss.kind == "splitter" else {"out", "in"}
            )
        else:
            return ()
        return tuple(sorted({
            need
            for name in self._needs
            if name not in self.links and plan.links[name].used and not is_spare(plan.links[name])
            and serves in {None, plan.links[name].kind}
            for way, needs in self._needs[name].unknown if way in ways
            for need in needs
        }))  # fmt: skip

    def pack(self, unit: str, link: Link) -> bool:
        """Say whether a pack on a link is down."""
        return link.id in self.links or (self.loss.kind == "pack" and unit == self.loss.id)
