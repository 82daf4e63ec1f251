"""Carrier to interference: how loud each intermodulation product is where it would be heard.

For every relation and each of our links in it: the product that falls on that link's carrier is made

* in a contributing transmitter's output stage, from the others that leak into it (shared combiner's isolation, or
  free space between antennas), and radiated by it (ITU-R SM.1446, inter-transmitter intermodulation), or
* in the victim's own receiver, from the contributors arriving there;

the stronger counts, against the wanted level at the same place. Levels from intercept points:
`planlint.rf.intercept`. What the plan does not write is assumed and named; such estimates rank findings and
never change a severity.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain as joined
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts import limits
from planlint.facts.festival import between
from planlint.facts.margin import Margin
from planlint.facts.relations import Named
from planlint.facts.transmitting import (
    ACROSS_M,
    BESIDE_M,
    INPUT_INTERCEPT_DBM,
    OUTPUT_INTERCEPT_DBM,
    Sender,
    apart,
    isolation,
    senders,
)
from planlint.plan.model import Link, Model, Plan
from planlint.rf.intercept import product_dbm, transmitter_product_dbm
from planlint.rf.propagation import free_space_loss_db

if TYPE_CHECKING:
    from planlint.facts import Facts

WANTED_AT_M = 12.0


class Estimate(NamedTuple):
    """The C/I of one relation at one victim.

    Attributes:
        victim: the link hit.
        ci_db: wanted level less the product's level, both at the victim's receiver.
        need_db: what the victim's receiver needs, None where unwritten.
        made_in: the link whose transmitter makes the product, or `receiver`.
        assumed: what was assumed, in words; empty where all of it is written.
        powers_written: what every carrier in the relation sends is known; an estimate without that says little.
    """

    victim: str
    ci_db: float
    need_db: float | None
    made_in: str
    assumed: tuple[str, ...]
    powers_written: bool


class _Heard(NamedTuple):
    """Where a victim listens: its wanted level, and how it is reached."""

    link: Link
    wanted_dbm: float
    need_db: float | None
    metres: float
    body_db: float
    model: Model | None
    antennas: tuple[str, ...]
    antenna_db: float
    assumed: tuple[str, ...]


class Interference:
    """C/I estimates of a plan; `shift_db` moves every assumed intercept, to see what hangs on it."""

    def __init__(self, plan: Plan, facts: Facts, shift_db: float = 0.0) -> None:
        self._plan = plan
        self._facts = facts
        self._shift = shift_db
        self._senders = senders(plan, facts)
        self._heard: dict[str, _Heard] = {}

    def worst(self, relation: Named) -> Estimate | None:
        """Return the lowest C/I of a relation over its victims, or None where none of them is ours."""
        found = [self.at(relation, name) for name in relation.ids if name in self._plan.links]
        return min(found, key=lambda estimate: (estimate.ci_db, estimate.victim), default=None)

    def ranked(self, relations: tuple[Named, ...]) -> list[tuple[Named, Estimate]]:
        """Return relations with their worst estimate, the lowest C/I first."""
        found = [(named, worst) for named in relations if (worst := self.worst(named)) is not None]
        return sorted(found, key=lambda pair: (round(pair[1].ci_db, 3), pair[0].text))

    def at(self, relation: Named, victim: str) -> Estimate:
        """Return the C/I of a relation at one of its links."""
        terms = _product(relation, victim)
        heard = self._listen(victim)
        made = [*self._in_transmitters(terms, heard), self._in_receiver(terms, heard)]
        level, made_in, assumed = max(made, key=lambda each: (each[0], each[1]))
        known = not any(self._senders[name].assumed for name in relation.ids)
        words = tuple(dict.fromkeys(assumed + heard.assumed))
        return Estimate(victim, heard.wanted_dbm - level, heard.need_db, made_in, words, known)

    def _in_transmitters(
        self, terms: tuple[tuple[int, str], ...], heard: _Heard
    ) -> Iterator[tuple[float, str, tuple[str, ...]]]:
        factors = [factor for factor, _ in terms]
        order = sum(map(abs, factors))
        for _, stage in terms:
            here = self._senders[stage]
            isolations, assumed = [], [here.assumed]
            for _, name in terms:
                db, words = (0.0, ()) if name == stage else isolation(self._plan, self._senders[name], here)
                isolations.append(db)
                assumed += [words, self._senders[name].assumed]
            intercept, words = self._intercept(here.model, f"oip{order}_dbm", OUTPUT_INTERCEPT_DBM[order], stage)
            powers = [self._senders[name].conducted_dbm for _, name in terms]
            made = transmitter_product_dbm(factors, powers, isolations, intercept)
            arriving, path = self._arriving(made + here.gain_db, here, heard)
            yield arriving, stage, tuple(joined(*assumed, words, path))

    def _in_receiver(self, terms: tuple[tuple[int, str], ...], heard: _Heard) -> tuple[float, str, tuple[str, ...]]:
        factors = [factor for factor, _ in terms]
        order = sum(map(abs, factors))
        levels, assumed = [], []
        for _, name in terms:
            sender = self._senders[name]
            level, words = self._arriving(sender.eirp_dbm, sender, heard)
            levels.append(level)
            assumed += [sender.assumed, words]
        intercept, words = self._intercept(heard.model, f"iip{order}_dbm", INPUT_INTERCEPT_DBM[order], heard.link.id)
        return product_dbm(factors, levels, intercept), "receiver", tuple(joined(*assumed, words))

    def _intercept(self, model: Model | None, key: str, otherwise: float, who: str) -> tuple[float, tuple[str, ...]]:
        written = model.spec.get(key) if model else None
        if written is not None:
            return float(written), ()
        value = otherwise + self._shift
        return value, (f"{who}: {key[:-4].upper()} {value:g} dBm",)

    def _arriving(self, eirp_dbm: float, sender: Sender, heard: _Heard) -> tuple[float, tuple[str, ...]]:
        """Return the level of something a sender radiates at a victim's receiving antenna, and what was assumed."""
        words: tuple[str, ...] = ()
        metres, body = heard.metres, heard.body_db
        stages = between(self._plan, sender.id, heard.link.id)
        if stages is not None:
            metres, body = stages.metres, stages.walls_db
        elif heard.link.kind != "ear" and not sender.worn:
            metres, words = apart(self._plan, sender.antennas, heard.antennas, ACROSS_M)
            body = 0.0
        elif sender.worn and sender.id != heard.link.id:
            metres, body = (BESIDE_M if heard.link.kind == "ear" else ACROSS_M), 0.0
            words = (f"{sender.id} to {heard.link.id}: {metres:g} m",)
        loss = free_space_loss_db(metres, sender.carrier_hz)
        return eirp_dbm - loss - body + heard.antenna_db, words

    def _listen(self, victim: str) -> _Heard:
        if victim not in self._heard:
            self._heard[victim] = self._find(victim)
        return self._heard[victim]

    def _find(self, victim: str) -> _Heard:
        link = self._plan.links[victim]
        sums = [found for found in self._facts.margins if found.link == victim and isinstance(found, Margin)]
        if sums:
            lowest = min(sums, key=lambda each: each.margin_db)
            device = self._plan.devices[lowest.device]
            assumed = tuple(words for words in lowest.assumed if "noise" not in words)
            return _Heard(
                link, lowest.wanted_dbm, lowest.need_db, lowest.distance.metres, lowest.body_db + lowest.sight_db,
                device.model, lowest.antennas, lowest.antenna_db, assumed,
            )  # fmt: skip
        body = limits.number(self._plan, "link.body_loss_db")
        sender = self._senders[victim]
        wanted = sender.eirp_dbm - free_space_loss_db(WANTED_AT_M, sender.carrier_hz) - body
        assumed = (f"{victim}: heard at {WANTED_AT_M:g} m, body loss {body:g} dB", *sender.assumed)
        return _Heard(link, wanted, None, WANTED_AT_M, body, None, (), 0.0, assumed)


def _product(relation: Named, victim: str) -> tuple[tuple[int, str], ...]:
    """Return the product of a relation that falls on a victim: (coefficient, contributor), coefficients summing to 1."""
    weights = {name: factor for factor, name in relation.left}
    weights |= {name: -factor for factor, name in relation.right}
    if weights[victim] > 0:
        weights = {name: -weight for name, weight in weights.items()}
    weights[victim] += 1
    return tuple((weight, name) for name, weight in sorted(weights.items()) if weight)


def stability(plan: Plan, facts: Facts, top: int = 5) -> tuple[int, int]:
    """Return how many of the worst relations stay among the worst when assumed intercepts move by -10 and +10 dB."""
    kept = []
    usual = [named.text for named, _ in Interference(plan, facts).ranked(facts.relations)[:top]]
    for shift in (-10.0, 10.0):
        moved = [named.text for named, _ in Interference(plan, facts, shift).ranked(facts.relations)[:top]]
        kept.append(sum(text in moved for text in usual))
    return kept[0], kept[1]
