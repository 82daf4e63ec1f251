"""The sums of a plan for people and programs: link margins, and intermodulation by estimated C/I."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from planlint.facts import Facts
from planlint.facts.interference import Estimate, stability
from planlint.facts.margin import Margin, NoMargin
from planlint.facts.relations import Named
from planlint.output.paint import harmless

_TOP = 10


def as_text(facts: Facts) -> str:
    """Return both tables as text."""
    lines = [f"{facts.plan.file} · {facts.plan.date or 'no date written'}", ""]
    lines += ["Link margins at the farthest spot, in dB (limit beside each); estimates, walk them with the pack on."]
    lines += [line for found in facts.margins for line in _margin(found)]
    lines += ["", "Intermodulation relations within their limits, the lowest estimated C/I first:"]
    lines += list(_relations(facts))
    return harmless_lines(lines)


def harmless_lines(lines: list[str]) -> str:
    """Join lines, with whatever came from the files made harmless."""
    return "\n".join(harmless(line) for line in lines) + "\n"


def _margin(found: Margin | NoMargin) -> Iterator[str]:
    if isinstance(found, NoMargin):
        yield f"  {found.link:<10} {found.device:<8} not reckoned, write {', '.join(found.needs[:3])}"
        return
    settings = ", ".join(f"{each.power_mw:g} mW {each.margin_db:.1f}" for each in found.settings)
    lowest = f"{found.lowest.power_mw:g} mW holds" if found.lowest else "no setting holds"
    yield (
        f"  {found.link:<10} {found.device:<8} {found.person or '':<8} {found.distance.metres:g} m: "
        f"{found.margin_db:.1f} (limit {found.limit_db:g}) at {found.power_mw:g} mW; falls to it at {found.breaks_at_m:.0f} m; "
        f"{lowest} [{settings}]"
    )
    yield (
        f"    EIRP {found.eirp_dbm:.1f} dBm - path {found.path_db:.1f} - body {found.body_db:g} - sight {found.sight_db:g} + "
        f"antenna {found.antenna_db:g} = {found.wanted_dbm:.1f}; floor {found.floor_dbm:.1f} ({found.scan}); need {found.need_db:g}"
        + (f"; assumed: {', '.join(found.assumed)}" if found.assumed else "")
    )


def _relations(facts: Facts) -> Iterator[str]:
    ranked = facts.interference.ranked(facts.relations)
    if not ranked:
        yield "  none"
        return
    for named, estimate in ranked[:_TOP]:
        yield f"  {estimate.ci_db:6.1f} dB at {estimate.victim}: {named.text}, {named.offset_khz} kHz off"
        if estimate.assumed:
            yield f"         assumed: {'; '.join(estimate.assumed)}"
    if len(ranked) > _TOP:
        yield f"  and {len(ranked) - _TOP} more"
    down, up = stability(facts.plan, facts)
    top = min(5, len(ranked))
    yield f"  With assumed intercepts 10 dB lower {down} of the first {top} stay among them, 10 dB higher {up}."


def as_json(facts: Facts) -> str:
    """Return both tables as JSON."""
    document = {
        "format": 1,
        "plan": facts.plan.file,
        "margins": [_margin_json(found) for found in facts.margins],
        "relations": [_relation_json(*pair) for pair in facts.interference.ranked(facts.relations)],
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _margin_json(found: Margin | NoMargin) -> dict[str, Any]:
    if isinstance(found, NoMargin):
        return {"link": found.link, "unit": found.device, "needs": list(found.needs)}
    keys = [
        "link",
        "person",
        "power_mw",
        "eirp_dbm",
        "path_db",
        "body_db",
        "sight_db",
        "antenna_db",
        "wanted_dbm",
        "floor_dbm",
        "scan",
        "need_db",
        "margin_db",
        "limit_db",
    ]
    values = {key: getattr(found, key) for key in keys}
    return {
        "unit": found.device,
        **{key: round(value, 2) if isinstance(value, float) else value for key, value in values.items()},
        "farthest_m": found.distance.metres,
        "breaks_at_m": round(found.breaks_at_m, 1),
        "settings": [{"power_mw": each.power_mw, "margin_db": round(each.margin_db, 2)} for each in found.settings],
        "assumed": list(found.assumed),
    }


def _relation_json(named: Named, estimate: Estimate) -> dict[str, Any]:
    return {
        "relation": named.text,
        "kind": named.kind,
        "offset_khz": named.offset_khz,
        "victim": estimate.victim,
        "ci_db": round(estimate.ci_db, 2),
        "made_in": estimate.made_in,
        "assumed": list(estimate.assumed),
    }
