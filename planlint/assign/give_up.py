"""When nothing fits: which constraint would have to give first, and how far. The law is never among them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from planlint.assign.clock import Clock
from planlint.assign.proposal import GiveUp
from planlint.plan.quantity import khz

if TYPE_CHECKING:
    from planlint.assign.state import State

#: The house's own limits, the one that costs least to give up first (common practice, no source).
LADDER = (
    "intermod_khz.three_signal_fifth",
    "intermod_khz.two_signal_fifth",
    "spacing_khz.ear_to_mic",
    "tv_guard_khz",
    "intermod_khz.three_signal_third",
    "spacing_khz.other_to_other",
    "spacing_khz.comms_to_comms",
    "spacing_khz.mic_to_mic",
    "spacing_khz.ear_to_ear",
    "intermod_khz.two_signal_third",
)
_STEPS = 12
_NODES = 20_000
_ROUNDS = 100
#: Of the clock, for one trial.
_SECONDS = 1.0


def give_up(state: State, stuck: tuple[str, ...], clock: Clock) -> Iterator[GiveUp]:
    """Yield, one constraint at a time, what would let everything fit if it alone gave, and how far it must.

    Args:
        state: the plan as it stands.
        stuck: links that may take no carrier at all; where there are some, what closes their last carriers.
        clock: when to stop looking.
    """
    from planlint.facts.limits import hertz

    widest = max(state.facts.widths.values(), default=200_000)
    for path in LADDER:
        now = hertz(state.plan, path, widest).hz
        if clock.out():
            return
        if now == 0 or not _fits(state, path, 0, clock):
            continue
        low, high = 0, now
        for _ in range(_STEPS):
            middle = (low + high) // 2 // 1000 * 1000
            if middle <= low:
                break
            low, high = (middle, high) if _fits(state, path, middle, clock) else (low, middle)
        yield GiveUp(f"policy.{path}", f"{khz(now)} kHz", f"{khz(low)} kHz")
    if not stuck:
        for name in sorted(state.pinned):
            if _fits_without_pin(state, name, clock):
                yield GiveUp(f"{state.plan.links[name].entry_at}/pinned", f"{name} is pinned", "let it move")


def _fits(state: State, path: str, limit_hz: int, clock: Clock) -> bool:
    values = _with(state.plan.values, path, limit_hz)
    return _possible(state, state.plan._replace(values=values), clock)


def _fits_without_pin(state: State, name: str, clock: Clock) -> bool:
    link = state.plan.links[name]._replace(pinned=None)
    return _possible(state, state.plan._replace(links={**state.plan.links, name: link}), clock)


def _possible(state: State, plan: Any, clock: Clock) -> bool:
    """Say whether everything that may move can be placed in another plan; a search that gives up counts as no."""
    from planlint.assign.laid import laid
    from planlint.assign.raster.fitting import Fitting
    from planlint.assign.raster.loose import Loose
    from planlint.assign.state import State as Fresh
    from planlint.facts import Facts

    facts = Facts(plan, lambda: state.facts.siblings)
    facts.scans = state.facts.scans
    trial = Fresh(facts)
    if any(not len(trial.domain(name)) for name in trial.movable):
        return False
    if not trial.movable:
        return True
    ground, part = laid(trial), clock.part(_SECONDS)
    fitting = Fitting(ground.problem, part)
    free = [slot for slot, name in enumerate(ground.names) if name in trial.movable]
    placed = fitting.place(free, (), _NODES, tries=2)
    if placed.outcome == "unknown":
        return Loose(ground.problem, fitting, part, "give up").run(free, (), None, _ROUNDS) is not None
    return placed.outcome == "found"


def _with(values: Mapping[str, Any], path: str, limit_hz: int) -> dict[str, Any]:
    """Return a plan's values with one house limit changed."""
    policy = values.get("policy")
    changed = dict(policy) if isinstance(policy, dict) else {}
    first, _, second = path.partition(".")
    number = Decimal(limit_hz) / 1000
    if second:
        section = changed.get(first)
        changed[first] = {**(section if isinstance(section, dict) else {}), second: number}
    else:
        changed[first] = number
    return {**values, "policy": changed}
