"""What a plan keeps in reserve, tried beside what is still on the air once something is lost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.ends import ends
from planlint.facts.groups import held_by, unknown_holders
from planlint.facts.hands import retune
from planlint.facts.losses import Loss
from planlint.facts.settings import missing_ends, of_unit
from planlint.facts.spares import alone
from planlint.finding import Touch
from planlint.plan.model import Link, Model, Plan, Spare

if TYPE_CHECKING:
    from planlint.facts import Facts

TRIALS = 100
"""Trials of one more carrier beside those given, for each loss."""


class Allotted(NamedTuple):
    """Who gets which spare carrier.

    Attributes:
        moves: for each link that gets one its new carrier.
        lacking: what to write where it is not known who tunes what.
        unfinished: the trials were used up, so that another allotment may bring more people back.
    """

    moves: dict[str, Move]
    lacking: tuple[str, ...]
    unfinished: bool


class Move(NamedTuple):
    """A link's new carrier in Hz, and how many units and list entries must be entered again."""

    carrier_hz: int
    touches: int


def without(facts: Facts, links: frozenset[str], loss: Loss) -> Facts:
    """Return the facts of a plan with some links off the air, and a lost TV channel live."""
    plan, kind = facts.plan, type(facts)
    off = {name: link._replace(unused="lost") if name in links else link for name, link in plan.links.items()}
    values = dict(plan.values)
    if loss.kind == "tv-channel":
        spectrum = plan.section("spectrum")
        occupied = spectrum.get("tv_occupied")
        live = [*(occupied if isinstance(occupied, list) else ()), int(loss.id)]
        values["spectrum"] = {**spectrum, "tv_occupied": live}
    return kind(plan._replace(links=off, values=values))


def clear_beside(rest: Facts, link: Link) -> bool:
    """Say whether a stand-in's own carrier is clear beside what is still on; one without a carrier is not known to be."""
    if link.carrier_hz is None or link.kind is None:
        return False
    plan = rest.plan
    others = {name: each for name, each in plan.links.items() if name != link.id}
    spare = Spare(link.kind, link.carrier_hz, link.carrier_at)
    return not any(alone(type(rest)(plan._replace(links=others)), spare))


def switched_on(rest: Facts, link: str) -> Facts:
    """Return the facts with a stand-in on the air; a link that is on already changes nothing."""
    plan = rest.plan
    if plan.links[link].stands_in_for is None:
        return rest
    return type(rest)(plan._replace(links={**plan.links, link: plan.links[link]._replace(stands_in_for=None)}))


def can_tune(plan: Plan, link: Link, carrier_hz: int) -> bool | tuple[str, ...]:
    """Say whether every unit of a link tunes a carrier in Hz; else what to write so that it can be said.

    Units that only listen to the link are left out: they lose an entry of a list, nobody goes quiet by that.
    """
    lacking = list(missing_ends(plan, link))
    for end in ends(plan, link):
        if end.job == "listens":
            continue
        if of_unit(plan, link, end, "may_tune").value == "stored" and carrier_hz not in {
            held.carrier_hz for held in held_by(plan, end.device)
        }:
            if not unknown_holders(plan):
                return False
            lacking += unknown_holders(plan)
        if end.model is None or not end.model.tuning:
            lacking.append(
                f"{plan.devices[end.device].at}/model" if end.model is None else f"{end.model.at}/tuning_mhz"
            )
        elif not _tunes(end.model, carrier_hz):
            return False
    return tuple(lacking) or True


def _tunes(model: Model, carrier_hz: int) -> bool:
    return any(
        tuning.low_hz <= carrier_hz <= tuning.high_hz
        and (not model.step_hz or (carrier_hz - tuning.low_hz) % model.step_hz == 0)
        for tuning in model.tuning
    )


def allot(rest: Facts, plan: Plan, people: Mapping[str, list[str]]) -> Allotted:
    """Give spare carriers to links that are down.

    Args:
        rest: the facts of the plan with those links off the air.
        plan: the plan itself.
        people: for each link that wants a carrier, who would be back.
    """
    choices: dict[str, list[Spare]] = {}
    lacking: set[str] = set()
    clear: dict[Spare, bool] = {}
    sharing = _sharing(plan, people)
    served = {first: [who for name in names for who in people[name]] for first, names in sharing.items()}
    for first in sorted(served, key=lambda first: (-len(served[first]), first)):
        choices[first] = []
        for spare in plan.spares:
            tunes = _all_tune(plan, sharing[first], spare)
            if isinstance(tunes, tuple):
                lacking.update(tunes)
            elif tunes:
                if spare not in clear:
                    clear[spare] = not any(alone(rest, spare))
                choices[first] += [spare] if clear[spare] else []
    search = _Allotment(rest, served, choices)
    moves = {}
    for first, spare in search.best().items():
        done: set[Touch] = set()
        for name in sharing[first]:
            more = set(retune(plan, plan.links[name])) - done
            moves[name] = Move(spare.carrier_hz, len(more))
            done |= more
    return Allotted(moves, tuple(sorted(lacking)), search.unfinished)


def _sharing(plan: Plan, names: Iterable[str]) -> dict[str, list[str]]:
    """Return links by the first that goes where they go: those of one wide emission have one carrier."""
    found: dict[str, list[str]] = {}
    first: dict[str, str] = {}
    for name in names:
        emission = plan.links[name].wide_emission
        found.setdefault(name if emission is None else first.setdefault(emission, name), []).append(name)
    return found


def _all_tune(plan: Plan, names: Sequence[str], spare: Spare) -> bool | tuple[str, ...]:
    """Say whether all these links tune a spare; else what to write so that it can be said."""
    lacking: list[str] = []
    for name in names:
        link = plan.links[name]
        tunes = can_tune(plan, link, spare.carrier_hz) if spare.kind == link.kind else False
        if tunes is False:
            return False
        lacking += tunes if isinstance(tunes, tuple) else ()
    return tuple(lacking) or True


class _Allotment:
    """Searches who gets which spare: links with most people first, spares as written, and a link may go without."""

    def __init__(self, rest: Facts, people: Mapping[str, list[str]], choices: Mapping[str, list[Spare]]) -> None:
        self._rest = rest
        self._people = people
        self._choices = {name: spares for name, spares in choices.items() if spares}
        self._names = list(self._choices)
        self._trials = TRIALS
        self._best: dict[str, Spare] = {}
        self._most = 0

    def best(self) -> dict[str, Spare]:
        """Return the best that was found."""
        self._try(0, {}, self._rest)
        return self._best

    @property
    def unfinished(self) -> bool:
        """Whether the trials were used up."""
        return self._trials < 0

    def _back(self, names: list[str]) -> int:
        return len({(who, name) for name in names for who in self._people[name]})

    def _try(self, at: int, given: dict[str, Spare], on: Facts) -> None:
        if self._back(list(given)) > self._most:
            self._best, self._most = dict(given), self._back(list(given))
        if at == len(self._names) or self._back([*given, *self._names[at:]]) <= self._most:
            return
        name = self._names[at]
        for spare in self._choices[name]:
            if spare not in given.values() and self._fits(given, on, spare):
                self._try(at + 1, {**given, name: spare}, _moved(on, name, spare))
        self._try(at + 1, given, on)

    def _fits(self, given: dict[str, Spare], on: Facts, spare: Spare) -> bool:
        if not given:
            return True
        self._trials -= 1
        return self._trials >= 0 and not any(alone(on, spare))


def _moved(on: Facts, name: str, spare: Spare) -> Facts:
    """Return the facts with one more link back on the air, on a spare carrier."""
    plan = on.plan
    back = plan.links[name]._replace(unused=None, carrier_hz=spare.carrier_hz)
    return type(on)(plan._replace(links={**plan.links, name: back}))
