"""The tour matrix for people and programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from planlint.assign.tour_matrix import Matrix
from planlint.assign.tour_nights import Night
from planlint.assign.tour_table import Cell, Row, Survivors
from planlint.assign.tour_touches import Change, Touches
from planlint.output.tour_words import MEANINGS, WORDS, word
from planlint.plan.quantity import khz, khz_number, mhz

#: Venues in one block of the table, ranges of one group of links, carriers and changes listed.
_COLUMNS = 9
_RANGES = 8
_CHANGES = 12


def as_lines(found: Matrix) -> Iterator[str]:
    """Yield the tour matrix as text."""
    venues = found.tour.all
    yield f"The tour, {len(venues)} venues under the root:"
    for number, night in enumerate(venues, 1):
        tonight = "  <- this one" if number - 1 == found.tonight else ""
        yield f"  {number:>2}  {night.plan.date or 'no date':<10}  {night.name}{tonight}"
    if found.tour.undated:
        yield "  Venues without a date stand in the table only: write show.date to have them in the runs and touches."
    yield ""
    yield "Tonight's live set taken to every venue as it is, and each spare beside it:"
    yield from _table(found.rows, len(venues))
    yield ""
    yield "Carriers that stand at every venue that uses the link, beside those who stay there:"
    for one in found.survivors:
        yield from _survivors(one)
    if len(found.tour.nights) > 1:
        yield ""
        yield from _runs(found)
        yield ""
        yield from _touches(found)
        yield from _plain(found)


def _table(rows: Sequence[Row], count: int) -> Iterator[str]:
    seen: dict[str, None] = {}
    for start in range(0, count, _COLUMNS):
        columns = range(start, min(start + _COLUMNS, count))
        yield "  " + f"{'':<12}  {'MHz':>8}  " + "  ".join(f"{number + 1:<8}" for number in columns).rstrip()
        for row in rows:
            name = row.link or f"spare {row.kind}"
            cells = [_cell(row.cells[at]) for at in columns]
            seen |= dict.fromkeys(cell.removesuffix("+") for cell in cells)
            yield "  " + f"{name:<12}  {mhz(row.carrier_hz):>8}  " + "  ".join(f"{cell:<8}" for cell in cells).rstrip()
    told = [f"{short}: {MEANINGS[short]}" for short in dict.fromkeys(WORDS.values()) if short in seen]
    for line in _wrapped(told):
        yield f"  {line}"
    if any(cell.rules and word(cell.rules).endswith("+") for row in rows for cell in row.cells):
        yield "  +: and another rule"


def _wrapped(parts: Sequence[str], width: int = 110) -> Iterator[str]:
    line = ""
    for part in parts:
        if line and len(line) + len(part) + 2 > width:
            yield line + ";"
            line = part
        else:
            line = f"{line}; {part}" if line else part
    if line:
        yield line


def _cell(cell: Cell) -> str:
    return "unused" if not cell.used else word(cell.rules) if cell.rules else "stands"


def _survivors(one: Survivors) -> Iterator[str]:
    count = len(one.carriers_hz)
    yield f"  {one.kind or 'kind?':<5}  {', '.join(one.links)}: {count} carrier{'' if count == 1 else 's'}"
    ranges = list(one.ranges)
    told = [f"{mhz(low)}-{mhz(high)} ({many})" if many > 1 else mhz(low) for low, high, many in ranges[:_RANGES]]
    if len(ranges) > _RANGES:
        told.append(f"and {sum(many for *_, many in ranges[_RANGES:])} in {len(ranges) - _RANGES} more ranges")
    for line in _wrapped(told, 100):
        yield f"         {line}"


def _date(night: Night) -> str:
    return night.plan.date or night.plan.file


def _span(nights: Sequence[Night], first: int, last: int) -> str:
    count = last - first + 1
    return _date(nights[first]) if count == 1 else f"{_date(nights[first])} to {_date(nights[last])}, {count} dates"


def _runs(found: Matrix) -> Iterator[str]:
    nights, run = found.tour.nights, found.run
    for at, outcome in sorted(found.no_set.items()):
        how = "there is no set" if outcome == "none" else "no set was found in the time there was"
        yield f"{_date(nights[at])}: {how}; planlint assign {nights[at].plan.file} says more. Left out of the touches."
    if found.tonight_lasts is not None:
        yield f"Tonight's set stands as it is: {_span(nights, *found.tonight_lasts)}."
    if run.length < 1:
        return
    longer = (
        ""
        if run.length == len(nights)
        else "; no set stands longer: proven"
        if run.proven
        else "; a longer run is not ruled out"
    )
    yield f"Longest run of one set found: {_span(nights, run.first, run.last)}{longer}."
    if run.margin_hz is not None:
        yield f"  Its worst margin past a limit: {khz(run.margin_hz)} kHz, the largest found. It is:"
    told = [f"{link} {mhz(carrier)}" for link, carrier in sorted(run.carriers.items())]
    for line in _wrapped(told, 100):
        yield f"  {line}"


def _touches(found: Matrix) -> Iterator[str]:
    nights = [found.tour.nights[at] for at in found.dates]
    if len(nights) < 2:
        return
    yield f"Touches between {len(nights)} dates (a unit re-tuned or a list entry; the first date's set costs nothing):"
    if found.written is not None:
        clear = "" if found.written.clear else ", not every set clear by itself"
        yield f"  as written                     {found.written.touches:>4}{clear}"
    yield from _fewest("carriers free from the start", found.touches, nights)
    if found.from_tonight is not None:
        at = found.dates.index(found.tonight)
        yield from _fewest("from tonight's set on", found.from_tonight, nights[at:])


def _fewest(label: str, touches: Touches, nights: Sequence[Night]) -> Iterator[str]:
    if touches.found is None:
        yield f"  {label:<29}  none found; at least {touches.bound}"
        return
    how = "the fewest: proven" if touches.proven else f"found; at least {touches.bound} are needed"
    by = f", {touches.alone} link by link" if touches.alone != touches.bound else ""
    near = "" if touches.margin_hz is None else f"; worst margin {khz(touches.margin_hz)} kHz"
    yield f"  {label:<29}  {touches.found:>4}  {how}{by}{near}"
    for change in touches.changes[:_CHANGES]:
        names = ", ".join(nights[change.after].members(change.link))
        yield (
            f"      before {_date(nights[change.after])}  {names:<10}  {mhz(change.old_hz)} -> {mhz(change.new_hz)}"
            f"  {change.weight} touch{'' if change.weight == 1 else 'es'}"
        )
    if len(touches.changes) > _CHANGES:
        yield f"      and {len(touches.changes) - _CHANGES} more changes; --format json has them all"


def _plain(found: Matrix) -> Iterator[str]:
    yield "  Proven is exact for this: at every date each link stands on a carrier that tuning, law, TV, scans and others"
    yield "  allow, beside pinned links and others who stay, with all spacings and intermodulation limits kept; an unused"
    yield "  link keeps its carrier at no cost. Where it is not proven, this is the best found and the bound holds for all."
    if found.waived:
        yield "  Something is accepted at a venue: pairs and products that are accepted there count as faults in these sets."


def as_value(found: Matrix) -> dict[str, Any]:
    """Return the tour matrix for JSON."""
    nights, run = found.tour.nights, found.run
    venues = [{"plan": one.plan.file, "date": one.plan.date, "place": one.name} for one in found.tour.all]
    dates = [nights[at] for at in found.dates]
    later = dates[found.dates.index(found.tonight) :] if found.tonight in found.dates else []
    lasts = found.tonight_lasts
    return {
        "venues": venues,
        "tonight": found.tonight,
        "table": [_row(row) for row in found.rows],
        "survivors": [
            {
                "kind": one.kind,
                "links": list(one.links),
                "count": len(one.carriers_hz),
                "ranges": [{"low_hz": low, "high_hz": high, "count": many} for low, high, many in one.ranges],
            }
            for one in found.survivors
        ],
        "no_set": {nights[at].plan.file: outcome for at, outcome in sorted(found.no_set.items())},
        "tonight_lasts": None if lasts is None else [nights[at].plan.file for at in range(lasts[0], lasts[1] + 1)],
        "longest_run": {
            "plans": [night.plan.file for night in nights[run.first : run.last + 1]],
            "carriers_hz": run.carriers,
            "margin_khz": None if run.margin_hz is None else khz_number(run.margin_hz),
            "proven": run.proven,
        },
        "written_touches": None if found.written is None else found.written.touches,
        "written_clear": None if found.written is None else found.written.clear,
        "touches": _touches_value(found.touches, dates),
        "touches_from_tonight": None if found.from_tonight is None else _touches_value(found.from_tonight, later),
        "waivers": found.waived,
    }


def _row(row: Row) -> dict[str, Any]:
    cells = [{"used": cell.used, "stands": cell.stands, "rules": list(cell.rules)} for cell in row.cells]
    return {"link": row.link, "kind": row.kind, "carrier_hz": row.carrier_hz, "venues": cells}


def _touches_value(touches: Touches, nights: Sequence[Night]) -> dict[str, Any]:
    return {
        "found": touches.found,
        "at_least": touches.bound,
        "link_by_link": touches.alone,
        "proven": touches.proven,
        "margin_khz": None if touches.margin_hz is None else khz_number(touches.margin_hz),
        "out_of_time": touches.out_of_time,
        "changes": [_change(change, nights) for change in touches.changes],
        "sets": [
            {"plan": night.plan.file, "carriers_hz": dict(sorted(carriers.items()))}
            for night, carriers in zip(nights, touches.carriers, strict=False)
        ],
    }


def _change(change: Change, nights: Sequence[Night]) -> dict[str, Any]:
    return {
        "before": nights[change.after].plan.file,
        "links": list(nights[change.after].members(change.link)),
        "old_hz": change.old_hz,
        "new_hz": change.new_hz,
        "touches": change.weight,
    }
