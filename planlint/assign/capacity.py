"""How many more links of a kind fit beside tonight's live set; what closes the rest; what other tuning ranges give.

One more link is as wide as the widest of its kind, is tuned by every end that links of the kind have, and is on the
whole day beside everybody who is on then (planlint/assign/packing.py). What a search found is no maximum; the bound
holds for every set, and only where both meet is the number proven.

Other ranges are tried with the live set where it is: the lower and the upper half of what the ends tune together, and
the whole of the region's bands in which the plan stands, with steps, combiners and splitters as they are (common
practice, no source: what a crew asks a hire firm for is the next range of the same unit).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.allowed import Grounds
from planlint.assign.packing import air_with_spares, candidates, links_of, spare_packing
from planlint.assign.raster.pack import Budget, pack
from planlint.facts.capacity import merged
from planlint.facts.ends import ends
from planlint.plan.model import Kind, Link, Model, Range

if TYPE_CHECKING:
    from planlint.facts import Facts

Progress = Callable[[str], None]
#: Share of the time for the range as it is; the others share the rest.
_AS_IT_IS = 0.5
_LOWER, _UPPER = "lower half only", "upper half only"
#: Seconds that every range gets, even where the time is over.
_LEAST = 0.05


class Count(NamedTuple):
    """More links of a kind in some range.

    Attributes:
        label: what the range is.
        ranges: in Hz, both ends included; none where no end's range is written.
        allowed: carriers that no rule closes, whatever the other links do.
        clear: carriers of those that are clear beside the live set, one at a time.
        carriers_hz: as many as were found, rising, clear with the live set and with each other.
        bound: no more than that many can fit.
        interrupted: a keyboard interrupt ended the search.
    """

    label: str
    ranges: tuple[Range, ...]
    allowed: int
    clear: int
    carriers_hz: tuple[int, ...]
    bound: int
    interrupted: bool

    @property
    def found(self) -> int:
        """How many were found."""
        return len(self.carriers_hz)

    @property
    def proven(self) -> bool:
        """Whether more are impossible."""
        return self.found >= self.bound


class Room(NamedTuple):
    """How much room there is for a kind.

    Attributes:
        kind: of link.
        links: those of the kind tonight.
        suits: those whose ends tune the carriers; the most that any carrier suits.
        tunable: carriers that every end of such a link could stand on; 0 where the plan has none of the kind.
        closed: how many of those each rule closes, most first; one carrier may count under several.
        now: what fits.
        other_ranges: what would fit if the units tuned other ranges.
        assumed: what was not known and taken for granted, in words.
    """

    kind: Kind
    links: tuple[str, ...]
    suits: tuple[str, ...]
    tunable: int
    closed: tuple[tuple[str, int], ...]
    now: Count
    other_ranges: tuple[Count, ...]
    assumed: tuple[str, ...]

    @property
    def interrupted(self) -> bool:
        """Whether a keyboard interrupt ended one of the counts."""
        return any(count.interrupted for count in (self.now, *self.other_ranges))


def room(
    facts: Facts, kind: Kind, seconds: float, *, seed: int = 0, workers: int = 1, progress: Progress = lambda _: None
) -> Room:
    """Count how many more links of a kind fit.

    Args:
        facts: the plan's.
        kind: of link.
        seconds: how long to search, all ranges together; what one does not need the next ones get.
        seed: of the searches.
        workers: processes that share the work.
        progress: told what is going on.
    """
    found = candidates(facts, kind)
    links = links_of(facts.plan, kind)
    suits = tuple(sorted({name for names in found.links.values() for name in names}))
    trials = list(_trials(facts, kind, [link for link in links if link.id in suits]))
    counts: list[Count] = []
    left = seconds
    for at, trial in enumerate(trials):
        start = time.monotonic()
        share = left * _AS_IT_IS if at == 0 and len(trials) > 1 else left / (len(trials) - at)
        counts.append(_count(trial, kind, Budget(max(share, _LEAST)), seed, workers, progress))
        left = 0.0 if counts[-1].interrupted else left - (time.monotonic() - start)
    counts = _told_by_parts(counts)
    names = tuple(link.id for link in links)
    tunable, closed = _closed(facts, [link for link in links if link.id in suits] or links)
    assumed = tuple(dict.fromkeys(found.assumed))
    return Room(kind, names, suits, tunable, closed, counts[0], tuple(counts[1:]), assumed)


def _told_by_parts(counts: list[Count]) -> list[Count]:
    """Let the halves speak for the whole: its set is at least as large as theirs, its bound at most the sum of theirs."""
    if len(counts) < 3 or counts[1].label != _LOWER:
        return counts
    whole, lower, upper, *more = counts
    best = max((whole, lower, upper), key=lambda one: one.found)
    bound = min(whole.bound, lower.bound + upper.bound)
    return [whole._replace(carriers_hz=best.carriers_hz, bound=bound), lower, upper, *more]


class _Trial(NamedTuple):
    """A range to try: in the plan as `facts` has it, among carriers from `low_hz` to `high_hz`."""

    label: str
    facts: Facts
    ranges: tuple[Range, ...]
    low_hz: int
    high_hz: int


def _trials(facts: Facts, kind: Kind, links: Sequence[Link]) -> Iterator[_Trial]:
    ranges = common_ranges(facts, links)
    yield _Trial("as they are", facts, ranges, 0, 10**12)
    if not ranges:
        return
    low, high = ranges[0].low_hz, ranges[-1].high_hz
    middle = (low + high) // 2
    for label, first, last in ((_LOWER, low, middle), (_UPPER, middle, high)):
        part = (Range(max(one.low_hz, first), min(one.high_hz, last)) for one in ranges)
        yield _Trial(label, facts, tuple(one for one in part if one.low_hz <= one.high_hz), first, last)
    home = home_bands(facts)
    if home and not any(one.low_hz <= home[0].low_hz and home[-1].high_hz <= one.high_hz for one in ranges):
        yield _Trial("the region's whole band", retuned(facts, kind, home), home, 0, 10**12)


def common_ranges(facts: Facts, links: Sequence[Link]) -> tuple[Range, ...]:
    """Return the ranges in Hz that every end of some links tunes; none where no end's is known."""
    common: list[Range] | None = None
    for model in _models(facts, links):
        if common is None:
            common = sorted(model.tuning)
        else:
            cut = (
                Range(max(one.low_hz, other.low_hz), min(one.high_hz, other.high_hz))
                for one in common
                for other in model.tuning
            )
            common = sorted({one for one in cut if one.low_hz <= one.high_hz})
    return tuple(common or ())


def _models(facts: Facts, links: Sequence[Link]) -> list[Model]:
    found = (end.model for link in links for end in ends(facts.plan, link) if end.model is not None)
    return list({model.id: model for model in found if model.tuning}.values())


def home_bands(facts: Facts) -> tuple[Range, ...]:
    """Return the region's bands in which links of the plan stand, in Hz."""
    ours = [facts.carriers[name] for name in facts.plan.links if name in facts.carriers]
    bands = (Range(band.low_hz, band.high_hz) for band in facts.bands)
    return tuple(merged(band for band in bands if any(band.low_hz <= carrier <= band.high_hz for carrier in ours)))


def retuned(facts: Facts, kind: Kind, ranges: tuple[Range, ...]) -> Facts:
    """Return the plan with every unit on links of a kind tuning some ranges in Hz in place of its own."""
    from planlint.facts import Facts as Fresh

    plan = facts.plan
    units = {end.device for link in links_of(plan, kind) for end in ends(plan, link)}
    devices = dict(plan.devices)
    for unit in units:
        model = devices[unit].model
        if model is not None and model.tuning:
            devices[unit] = devices[unit]._replace(model=model._replace(tuning=ranges))
    fresh = Fresh(plan._replace(devices=devices), lambda: facts.siblings)
    fresh.scans = facts.scans
    return fresh


def _count(trial: _Trial, kind: Kind, budget: Budget, seed: int, workers: int, progress: Progress) -> Count:
    import numpy as np

    facts = trial.facts
    allowed = [hz for hz in candidates(facts, kind).carriers_hz if trial.low_hz <= hz <= trial.high_hz]
    air, (spare,) = air_with_spares(facts, kind, 1)
    line = np.array(allowed, dtype=np.int64)
    clear: list[int] = line[~air.blocked(spare, line, facts.carriers)].tolist() if allowed else []
    count = Count(trial.label, trial.ranges, len(allowed), len(clear), tuple(clear), len(clear), interrupted=False)
    if len(clear) < 2:
        return count
    packed = pack(
        spare_packing(facts, kind, clear).problem,
        budget=budget,
        seed=seed,
        workers=workers,
        progress=lambda found, bound: progress(f"{kind}, {trial.label}: {found} found, at most {bound}"),
    )
    return count._replace(carriers_hz=packed.carriers, bound=packed.bound, interrupted=packed.interrupted)


def _closed(facts: Facts, links: Sequence[Link]) -> tuple[int, tuple[tuple[str, int], ...]]:
    """Return how many carriers the ends of such links tune, and how many of them each rule closes.

    Of several links, for the one with the fewest carriers left: what one more link takes must suit it too.
    """
    if not links:
        return 0, ()
    grounds = Grounds(facts)
    found = min((grounds.allowed(link) for link in links), key=lambda one: len(one.carriers_hz))
    return found.tunable, tuple(sorted(found.lost.items(), key=lambda item: (-item[1], item[0])))
