"""Spares as a packing: where they may stand, what they and everybody on the air must keep, all in integer Hz.

A spare is one more link of its kind, as wide as the widest of the kind and on the whole day. The limit of a relation
follows from the widest emission among its members and never falls with it, so it is the largest of the limits that
the members would set alone: each carrier here brings its own as guards, or the spares' where that is larger. Ids
that are never on the air are left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.allowed import Grounds
from planlint.assign.clash import Air
from planlint.assign.raster.problem import Fixed, Packing
from planlint.facts import relations
from planlint.plan.model import Kind, Link, Plan
from planlint.rf.intermodulation import Limits

if TYPE_CHECKING:
    from planlint.facts import Facts

_ROLES = {"ear": "ear-transmitter", "mic": "mic-transmitter", "comms": "comms", "other": "other"}


class Wanted(NamedTuple):
    """A packing of spares.

    Attributes:
        problem: in Hz, for `planlint.assign.raster.pack`.
        fixed: the ids of `problem.fixed`, in their order.
        links: for each allowed carrier the links that can take it, by id; empty where the plan has none of the kind.
        assumed: what was not known and taken for granted, in words.
        left_out: links of the kind that can take none of the allowed carriers.
    """

    problem: Packing
    fixed: tuple[str, ...]
    links: Mapping[int, tuple[str, ...]]
    assumed: tuple[str, ...]
    left_out: tuple[str, ...]


class Candidates(NamedTuple):
    """Carriers in Hz, rising, that as many links of a kind as possible may take; which links; what was assumed."""

    carriers_hz: tuple[int, ...]
    links: Mapping[int, tuple[str, ...]]
    assumed: tuple[str, ...]


def spare_packing(facts: Facts, kind: Kind, allowed_hz: Sequence[int] | None = None) -> Wanted:
    """Return what spares of a kind may take and must keep.

    Args:
        facts: of the plan; its links and others stay where they are.
        kind: of link.
        allowed_hz: carriers to choose from, in rising order; by default those that all links of the kind may take
            (where none is for all, those for the most).

    Raises:
        ValueError: `allowed_hz` is not in rising order.
    """
    found = candidates(facts, kind)
    allowed = found.carriers_hz if allowed_hz is None else tuple(allowed_hz)
    air, (spare, other) = air_with_spares(facts, kind, 2)
    on = [ids & facts.carriers.keys() for ids in facts.together]
    largest = [ids for at, ids in enumerate(on) if not any(ids < more for more in on) and ids not in on[:at]]
    names = tuple(sorted(frozenset().union(*largest)))
    own = _guards(air, air.widths[spare])
    fixed = tuple(
        # Every relation that counts has a spare in it, so a smaller guard than the spares' own says nothing.
        Fixed(facts.carriers[name], Limits(*map(max, own, _guards(air, air.widths[name]))), air.apart(spare, name))
        for name in names
    )
    together = tuple(frozenset(names.index(name) for name in ids) for ids in largest)
    problem = Packing(allowed, air.apart(spare, other), own, fixed, together or None)
    links = {hz: found.links[hz] for hz in allowed if hz in found.links}
    served = frozenset().union(*links.values())
    left_out = tuple(link.id for link in links_of(facts.plan, kind) if link.id not in served)
    return Wanted(problem, names, links, found.assumed, left_out)


def candidates(facts: Facts, kind: Kind) -> Candidates:
    """Return the carriers that links of a kind may take whatever the others do."""
    links = links_of(facts.plan, kind)
    if not links:
        link = _bare(facts.plan, kind)
        allowed = Grounds(with_links(facts, {link.id: link})).allowed(link)
        return Candidates(allowed.carriers_hz, {}, tuple(text.replace(f"{link.id}: ", "") for text in allowed.assumed))
    grounds = Grounds(facts)
    by_carrier: dict[int, list[str]] = {}
    assumed: tuple[str, ...] = ()
    for link in links:
        allowed = grounds.allowed(link)
        assumed = (*assumed, *allowed.assumed)
        for carrier in allowed.carriers_hz:
            by_carrier.setdefault(carrier, []).append(link.id)
    most = max(map(len, by_carrier.values()), default=0)
    best = {carrier: tuple(names) for carrier, names in sorted(by_carrier.items()) if len(names) == most}
    return Candidates(tuple(best), best, assumed)


def air_with_spares(facts: Facts, kind: Kind, count: int) -> tuple[Air, tuple[str, ...]]:
    """Return the air with so many further links of a kind, and their names, which are like no id (a space)."""
    model = _model(facts, kind)
    more = {f"spare {index:03d}": model._replace(id=f"spare {index:03d}") for index in range(count)}
    return Air(with_links(facts, more)), tuple(more)


def with_other_spares(facts: Facts, kind: Kind) -> Facts:
    """Return the facts with the written spares of other kinds on the air too, the whole day."""
    more = {}
    for spare in facts.plan.spares:
        if spare.kind != kind:
            name = f"{spare.kind} spare {spare.carrier_hz}"
            more[name] = _model(facts, spare.kind)._replace(id=name, carrier_hz=spare.carrier_hz, auto=False)
    return with_links(facts, more) if more else facts


def links_of(plan: Plan, kind: Kind) -> list[Link]:
    """Return the links of a kind that a spare is for: used tonight, on a carrier of their own, no wide emission."""
    served = (link for _, link in sorted(plan.links.items()) if link.kind == kind and link.used)
    return [link for link in served if link.self_tuned is None and link.wide_emission is None]


def with_links(facts: Facts, more: Mapping[str, Link]) -> Facts:
    """Return the facts of the plan with further links, scans and sister venues as before."""
    from planlint.facts import Facts as Fresh

    fresh = Fresh(facts.plan._replace(links={**facts.plan.links, **more}), lambda: facts.siblings)
    fresh.scans = facts.scans
    return fresh


def _guards(air: Air, width_hz: int) -> Limits:
    return Limits(*(air.limit(kind, width_hz) for kind in relations.KINDS))


def _model(facts: Facts, kind: Kind) -> Link:
    """Return a link without a carrier that is on the whole day, as wide as the widest of its kind."""
    links = links_of(facts.plan, kind)
    widest = max(links, key=lambda link: (facts.widths[link.id], link.id), default=_bare(facts.plan, kind))
    return widest._replace(
        carrier_hz=None, auto=True, unused=None, pinned=None, packs=(), stands_in_for=None, stored={}
    )


def _bare(plan: Plan, kind: Kind) -> Link:
    """Return a link of a kind that the plan has none of: with a transmitter of the plan whose model sends it."""
    device = next(
        (name for name, device in sorted(plan.devices.items()) if device.model and device.model.role == _ROLES[kind]),
        None,
    )
    return Link(
        id="spare", kind=kind, carrier_hz=None, carrier_written=None, auto=True, unused=None, pinned=None,
        power_mw=None, stored={}, tx=device, rx=None, packs=(), person=None, sends=None, feed=None, desk_in=None,
        stands_in_for=None, spec={}, at="/links/spare", entry_at="/links/spare", listed=True,
    )  # fmt: skip
