"""Spare carriers: clear with everybody who is on, and with each other, so that all of them could be used at once.

Each spare is taken as one more link of its kind that is on the whole day, as wide as the widest of the kind. Asked
for a number, the widest slack past every limit is sought at which so many fit; asked for all, as many as fit with
none. Fills are tried from the lowest carrier up and in random orders; this is a search, not a proof of the most.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.allowed import Grounds
from planlint.assign.clash import Air
from planlint.assign.place import Clock
from planlint.plan.model import Kind, Link, Plan

if TYPE_CHECKING:
    from planlint.assign.clash import Carriers, Flags
    from planlint.facts import Facts

_ORDERS = 12
_MOST = 400
_ROLES = {"ear": "ear-transmitter", "mic": "mic-transmitter", "comms": "comms", "other": "other"}


class Found(NamedTuple):
    """A spare: its carrier in Hz, how far past its limit the nearest thing is, and the links that can all tune it.

    `margin_hz` is None where nothing is near that has a limit.
    """

    carrier_hz: int
    margin_hz: int | None
    links: tuple[str, ...]


class Ladder(NamedTuple):
    """Spares in the order to use them, the best first; `candidates` is how many carriers there were to choose from."""

    kind: str
    asked: int | None
    spares: tuple[Found, ...]
    candidates: int
    assumed: tuple[str, ...]
    out_of_time: bool


class SpareSearch:
    """Searches spares of one kind."""

    def __init__(self, facts: Facts, kind: Kind, *, clock: Clock | None = None, seed: int = 0) -> None:
        """Keep the plan; the same seed gives the same spares while the time lasts."""
        self.facts = facts
        self.kind = kind
        self.clock = clock or Clock()
        self._seed = seed
        self._grounds = Grounds(facts)
        self._links = [link for _, link in sorted(facts.plan.links.items()) if link.kind == kind and link.used]
        self._assumed: tuple[str, ...] = ()

    def run(self, count: int | None) -> Ladder:
        """Return so many spares, or as many as were found (all that fit for None)."""
        import numpy as np

        carriers, who = self._candidates()
        line = np.array(carriers, dtype=np.int64)
        number = min(_MOST, len(carriers)) if count is None else min(count, len(carriers))
        self._air, self._names = self._with_spares(number)
        chosen: list[int] = []
        if number:
            self._start: dict[int, Flags] = {}
            chosen = self._best(line, number) if count is None else self._widest(line, number)
        everyone = {**self.facts.carriers, **dict(zip(self._names, chosen, strict=False))}
        spares = []
        for name, carrier in zip(self._names, chosen, strict=False):
            margin = self._air.margin(name, everyone)
            spares.append(Found(carrier, None if margin >= 10**11 else margin, who.get(carrier, ())))
        ladder = sorted(
            spares,
            key=lambda one: (
                -len(one.links),
                -(one.margin_hz if one.margin_hz is not None else 10**12),
                one.carrier_hz,
            ),
        )
        return Ladder(self.kind, count, tuple(ladder), len(carriers), self._assumed, self.clock.ran_out)

    def _candidates(self) -> tuple[list[int], dict[int, tuple[str, ...]]]:
        """Return the carriers that links of the kind may take, and for each the links: all of them where any is for all."""
        if not self._links:
            link = self._bare()
            plan = self.facts.plan._replace(links={**self.facts.plan.links, link.id: link})
            allowed = Grounds(self._fresh(plan)).allowed(link)
            self._assumed = tuple(text.replace(f"{link.id}: ", "") for text in allowed.assumed)
            return list(allowed.carriers_hz), {}
        by_carrier: dict[int, list[str]] = {}
        for link in self._links:
            allowed = self._grounds.allowed(link)
            self._assumed = (*self._assumed, *allowed.assumed)
            for carrier in allowed.carriers_hz:
                by_carrier.setdefault(carrier, []).append(link.id)
        most = max((len(names) for names in by_carrier.values()), default=0)
        best = {carrier: tuple(names) for carrier, names in by_carrier.items() if len(names) == most}
        return sorted(best), best

    def _bare(self) -> Link:
        """Return a link of the kind where the plan has none: with a transmitter of the plan whose model sends it."""
        device = next(
            (name for name, device in sorted(self.facts.plan.devices.items())
             if device.model and device.model.role == _ROLES[self.kind]),
            None,
        )  # fmt: skip
        return Link(
            id="spare", kind=self.kind, carrier_hz=None, carrier_written=None, auto=True, unused=None, pinned=None,
            power_mw=None, stored={}, tx=device, rx=None, packs=(), person=None, sends=None, feed=None, desk_in=None,
            stands_in_for=None, spec={}, at="/links/spare", entry_at="/links/spare", listed=True,
        )  # fmt: skip

    def _with_spares(self, number: int) -> tuple[Air, list[str]]:
        """Return the air with so many further links of the kind, and their names; no id is like them (a space)."""
        widest = max(self._links, key=lambda link: (self.facts.widths[link.id], link.id), default=self._bare())
        model = widest._replace(
            carrier_hz=None, auto=True, unused=None, pinned=None, packs=(), stands_in_for=None, stored={}
        )
        names = [f"spare {index:03d}" for index in range(number)]
        plan = self.facts.plan
        more = {name: model._replace(id=name) for name in names}
        return Air(self._fresh(plan._replace(links={**plan.links, **more}))), names

    def _fresh(self, plan: Plan) -> Facts:
        from planlint.facts import Facts as Fresh

        facts = Fresh(plan, lambda: self.facts.siblings)
        facts.scans = self.facts.scans
        return facts

    def _widest(self, line: Carriers, number: int) -> list[int]:
        """Return so many with the largest slack found; where so many do not fit, as many as were found."""
        best = self._fill(line, number, 0, self._orders())
        if len(best) < number:
            return best
        low, high = 0, 50_000
        while high - low > 1_000:
            found = self._fill(line, number, high, self._orders())
            if len(found) == number:
                best, low, high = found, high, high * 2
            else:
                break
        while high - low > 1_000 and not self.clock.out():
            middle = (low + high) // 2
            found = self._fill(line, number, middle, self._orders())
            if len(found) == number:
                best, low = found, middle
            else:
                high = middle
        return best

    def _best(self, line: Carriers, number: int) -> list[int]:
        return self._fill(line, number, 0, 10**6 if self.clock.limited else _ORDERS * 4)

    def _orders(self) -> int:
        return _ORDERS

    def _fill(self, line: Carriers, number: int, slack_hz: int, orders: int) -> list[int]:
        """Return the longest of several fills with a slack, at most `number` carriers."""
        if slack_hz not in self._start:
            self._start[slack_hz] = self._air.blocked(self._names[0], line, self.facts.carriers, slack_hz=slack_hz)
        best: list[int] = []
        for order in range(orders):
            rng = random.Random(f"{self._seed}/{order}") if order else None  # noqa: S311  no secret
            found = self._one_fill(line[~self._start[slack_hz]], number, slack_hz, rng)
            if len(found) > len(best):
                best = found
            if len(best) == number or self.clock.out():
                break
        return best

    def _one_fill(self, free: Carriers, number: int, slack_hz: int, rng: random.Random | None) -> list[int]:
        placed = dict(self.facts.carriers)
        chosen: list[int] = []
        while len(free) and len(chosen) < number:
            at = rng.randrange(len(free)) if rng else 0
            name, carrier = self._names[len(chosen)], int(free[at])
            placed[name] = carrier
            chosen.append(carrier)
            if len(chosen) < number:
                free = free[free != carrier]
                blocked = self._air.blocked(self._names[len(chosen)], free, placed, slack_hz=slack_hz, new=name)
                free = free[~blocked]
        return chosen
