"""What the four intermodulation rules share: one relation is one fault, at the carrier of its first id."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.interference import Estimate
from planlint.facts.limits import number
from planlint.facts.relations import KEEP, Named
from planlint.finding import Fault, Mark, Severity, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import Worse
from planlint.rules.pairs import moves_with

ACCEPT: dict[str, Worse] = {"offset_khz": "lower", "ci_db": "lower"}

_SHOWN = 3
_UNRANKED = 1e6  # after everything that has an estimate, nearest first


def judge(plan: Plan, facts: Facts, kind: str) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each relation of one kind, or what is missing to find them."""
    lacking = tuple(
        name for name in sorted(plan.links) if plan.links[name].wants_carrier and name not in facts.carriers
    )
    if lacking:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in lacking), lacking)
    for named in facts.relations:
        if named.kind == kind:
            yield _fault(plan, facts, named)
    if kind in facts.found_relations.totals:
        yield _many(plan, facts, kind)


def _fault(plan: Plan, facts: Facts, named: Named) -> Fault:
    first = named.ids[0]
    exact = "meets exactly" if named.offset_hz == 0 else f"meets within {khz(named.offset_hz)} kHz"
    ours = [name for name in named.ids if name in plan.links]
    values: dict[str, Value] = {
        "relation": named.text,
        "offset_khz": named.offset_khz,
        "limit_khz": khz_number(named.limit_hz),
    }
    estimates = [facts.interference.at(named, name) for name in ours]
    worst = min(estimates, key=lambda estimate: (estimate.ci_db, estimate.victim))
    level, rank = "", _UNRANKED + named.offset_hz
    if worst.powers_written:
        level, rank = f" Estimated C/I {worst.ci_db:.0f} dB at {worst.victim}{_assumed(worst)}.", worst.ci_db
        values |= {"ci_db": round(worst.ci_db, 1), "victim": worst.victim}
    return Fault(
        facts.carrier_at(first),
        f"{named.text} {exact} (limit {khz(named.limit_hz)}): {_victims(named)}.{level} Move {_one_of(ours)}: its "
        f"transmitter, every pack or receiver on it, and every listening list.{moves_with(facts, *ours)}",
        subjects=named.ids,
        values=values,
        related=tuple(
            Mark(facts.carrier_at(name), f"{name} {mhz(facts.carriers[name])}") for name in named.ids if name != first
        ),
        severity=_severity(plan, estimates),
        rank=rank,
    )


def _many(plan: Plan, facts: Facts, kind: str) -> Fault:
    """Return one fault for a kind with more relations than are listed: the exact total and who is hit most."""
    found = facts.found_relations
    hits = sorted(found.per_id[kind].items(), key=lambda item: (-item[1], item[0]))
    most = ", ".join(f"{name} {number}" for name, number in hits[:_SHOWN])
    counted = " (counted with the widest emission)" if found.widest else ""
    first = hits[0][0]
    return Fault(
        facts.carrier_at(first),
        f"{found.totals[kind]} relations of this kind in all{counted}; the nearest {KEEP} are listed. Most on: {most}. So many "
        "carriers on the air at once cannot be moved one by one: choose the set anew, or write who is on when (day, on_air).",
        subjects=(first,),
        values={"relations": found.totals[kind], "listed": KEEP},
        rank=2 * _UNRANKED,
    )


def _one_of(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"one of {', '.join(names)}"


def _severity(plan: Plan, estimates: list[Estimate]) -> Severity | None:
    """Return the severity that C/I from written facts gives; None, the rule's own, where anything is assumed."""
    if any(estimate.assumed or estimate.need_db is None for estimate in estimates):
        return None
    spare = min(estimate.ci_db - (estimate.need_db or 0.0) for estimate in estimates)
    if spare < 0:
        return "error"
    return "warning" if spare < number(plan, "link.margin_db") else "note"


def _assumed(estimate: Estimate) -> str:
    made = "in its receiver" if estimate.made_in == "receiver" else f"in {estimate.made_in}'s transmitter"
    if not estimate.assumed:
        return f", made {made}"
    shown = "; ".join(estimate.assumed[:_SHOWN])
    more = f" and {len(estimate.assumed) - _SHOWN} more" if len(estimate.assumed) > _SHOWN else ""
    return f", made {made} (assumed, so it only ranks: {shown}{more})"


def _victims(named: Named) -> str:
    if named.kind == "two_signal_third":
        middle = named.left[0][1]
        return f"{middle} is the middle of the other two, and all three hear it"
    if named.kind == "three_signal_third":
        return "all four hear it"
    return "fifth order, so weaker than third, but it falls on them"
