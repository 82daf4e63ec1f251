"""The link sum in words, for the rules about power and range."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.margin import Margin, NoMargin
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan

#: The trade's rule of thumb for low and high power; common practice, no source.
THUMB = "rule of thumb: about 10 mW serves 6 to 9 m, about 50 mW beyond"
NEARER_M = 6.0


def kept(plan: Plan, facts: Facts, kind: str) -> Iterator[Margin | Unchecked]:
    """Yield each margin of a kind of link, or what is missing for it."""
    if not plan.links:
        yield Unchecked(("/links",))
    for found in facts.margins:
        if plan.links[found.link].kind == kind:
            yield Unchecked(found.needs, (found.link, found.device)) if isinstance(found, NoMargin) else found


def weak(plan: Plan, facts: Facts, kind: str, thumb: str = "") -> Iterator[Fault | Unchecked]:
    """Yield a fault for each margin of a kind of link that is below the house's limit.

    Args:
        plan: the plan.
        facts: its facts.
        kind: `ear` or `mic`.
        thumb: what the trade says beside the sum.
    """
    for margin in kept(plan, facts, kind):
        if isinstance(margin, Unchecked):
            yield margin
        elif not margin.holds:
            at = f" at {margin.device}" if kind == "mic" else ""
            beside = f" ({thumb})" if thumb else ""
            yield Fault(
                margin.distance.at,
                f"{margin.link}, {where(margin)}: margin {margin.margin_db:.1f} dB{at}, limit {margin.limit_db:.0f}; it falls to "
                f"the limit at {margin.breaks_at_m:.0f} m. At {margin.power_mw:g} mW: {whole_sum(margin)}. Most for it: "
                f"{best_move(margin)}; {higher_power(margin)}.{beside}",
                (margin.link, margin.device),
                numbers(margin),
                (Mark(plan.links[margin.link].carrier_at, f"{margin.link} is here"),),
                rank=margin.margin_db,
            )
        elif margin.unproven:
            yield Unchecked(margin.unproven, (margin.link, margin.device))


def whole_sum(margin: Margin) -> str:
    """Return the sum as one line: what was added and taken off."""
    sight = f", sight {margin.sight_db:.0f}" if margin.sight_db else ""
    antenna = f", antenna {margin.antenna_db:+.1f}" if margin.antenna_db else ""
    assumed = f"; assumed: {', '.join(margin.assumed)}" if margin.assumed else ""
    return (
        f"EIRP {margin.eirp_dbm:.1f} dBm, path {margin.path_db:.1f}, body {margin.body_db:.0f}{sight}{antenna}: wanted "
        f"{margin.wanted_dbm:.1f} dBm; floor {margin.floor_dbm:.1f} ({margin.scan}), need {margin.need_db:.0f}{assumed}"
    )


def best_move(margin: Margin) -> str:
    """Return the one change of the antenna that buys most, with its number."""
    metres = margin.distance.metres
    nearer = min(NEARER_M, metres / 2)
    from math import log10

    moves = [(20 * log10(metres / (metres - nearer)) if nearer else 0.0, f"antenna {nearer:.0f} m nearer")]
    if margin.sight_db:
        moves.append((margin.sight_db, "antenna into clear sight"))
    if margin.coax_db:
        moves.append((margin.coax_db, "antenna without its coax loss"))
    gain, words = max(moves, key=lambda move: move[0])
    return f"{words} ({gain:+.1f} dB)"


def higher_power(margin: Margin) -> str:
    """Return which power setting of the transmitter would hold, or that none does."""
    lowest = margin.lowest
    if lowest is None:
        return "no power setting of its transmitter holds"
    return f"{lowest.power_mw:g} mW holds ({lowest.margin_db:.0f} dB)"


def numbers(margin: Margin) -> dict[str, int | float | str]:
    """Return the sum's numbers for `values`, to a tenth of a dB."""
    return {
        "margin_db": round(margin.margin_db, 1),
        "limit_db": round(margin.limit_db, 1),
        "farthest_m": margin.distance.metres,
        "breaks_at_m": round(margin.breaks_at_m, 1),
        "wanted_dbm": round(margin.wanted_dbm, 1),
        "floor_dbm": round(margin.floor_dbm, 1),
    }


def where(margin: Margin) -> str:
    """Return who stands where: `vox at 18 m`."""
    return f"{margin.person or margin.device} at {margin.distance.metres:g} m"
