"""How the rules about power say what a unit sends, what the limit is and what would fit."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.power import Limit, Sent, excess_db
from planlint.facts.verdict import Verdict, verdict
from planlint.finding import Mark, Value
from planlint.plan import Plan
from planlint.plan.model import Link, Row
from planlint.rf.chain import eirp_dbm
from planlint.rf.decibel import DIPOLE_GAIN_DBI, dbm_to_mw, mw_to_dbm
from planlint.rules.law import who

BASIS_WORDS = {"conducted": "conducted", "erp": "ERP", "eirp": "EIRP"}


def milliwatts(power_mw: float, beside_mw: float | None = None) -> str:
    """Write a power as a person reads it, with as many decimals as tell it from the one beside it."""
    first = 0 if power_mw >= 10 else 1 if power_mw >= 1 else 3
    for decimals in range(first, 7):
        text = _plain(power_mw, decimals)
        if beside_mw is None or beside_mw == power_mw or text != _plain(beside_mw, decimals):
            break
    return text


def limit_text(limit: Limit) -> str:
    """Write a limit with its basis, and where it comes from."""
    row = limit.row
    of = f"licence {limit.licence}" if limit.licence else f"{row.id}, {_document(limit)}"
    return f"limit {milliwatts(limit.high_mw)} mW {BASIS_WORDS[limit.basis]} ({of})"


def sends(link: Link, out: Sent, limit: Limit) -> str:
    """Say what a link's transmitter sends, as the limit counts it."""
    level = out.levels.at(limit.basis).low if out.levels else -math.inf
    bounded = out.levels is not None and not out.levels.at(limit.basis).known
    verb = "puts out" if limit.basis == "conducted" else "radiates"
    at_least = "at least " if bounded else ""
    amount = milliwatts(dbm_to_mw(level), limit.high_mw)
    power = f"at {out.low_mw:g} mW{', its lowest,' if out.low_mw < out.high_mw else ''}"
    return f"{link.tx} {power} {_way(out)} {verb} {at_least}{amount} mW {BASIS_WORDS[limit.basis]}"


def what_fits(plan: Plan, facts: Facts, link: Link, found: Verdict) -> str:
    """Say which power setting, or which antenna, keeps within the limit; what to do at the other end."""
    out, limit = found.sent, found.limit
    if out is None or out.levels is None or limit is None:
        return ""
    setting = _setting(plan, facts, link, out, limit)
    if setting is None and not _settings(plan, link):
        most = math.floor(dbm_to_mw(mw_to_dbm(out.low_mw) - excess_db(out.levels, limit).low) * 10) / 10
        first = f"Set {link.tx} to {milliwatts(most)} mW or less"
    elif setting is None:
        first = f"No power setting of {link.tx} keeps within it: use another unit"
    else:
        first = f"Set {link.tx} to {setting}"
    return f"{first}{_antenna_that_fits(out, limit)}; then walk the stage with {_other_end(link)}."


def classes(rows: tuple[Row, ...]) -> str:
    """Name the licence classes of some rows."""
    return " or ".join(dict.fromkeys(row.licence_class for row in rows if row.licence_class != "unlicensed"))


def numbers(found: Verdict) -> dict[str, Value]:
    """Return the numbers of a fault: what is sent and the limit, both as the limit counts."""
    if found.sent is None or found.sent.levels is None or found.limit is None:
        return {}
    level = dbm_to_mw(found.sent.levels.at(found.limit.basis).low)
    return {
        f"{found.limit.basis}_mw": _number(level),
        "limit_mw": _number(found.limit.high_mw),
        "limit_basis": found.limit.basis,
        "power_mw": _number(found.sent.low_mw),
    }


def marks(plan: Plan, link: Link, out: Sent) -> Iterator[Mark]:
    """Yield the places of the parts that the power goes through."""
    for part in out.parts:
        if part.what == "antenna":
            yield Mark(f"/antennas/{escape(part.id)}/gain_dbi", f"{part.id} is its antenna")
        elif part.what == "box":
            yield Mark(plan.devices[part.id].at, f"it goes through {part.id}", key=True)


def concerned(link: Link, out: Sent | None) -> tuple[str, ...]:
    """Return the link, its transmitter and the parts of its chain, for `subjects`."""
    return who(link) + (tuple(dict.fromkeys(part.id for part in out.parts)) if out else ())


def _number(power_mw: float) -> int | float:
    rounded = float(f"{power_mw:.4g}")
    return int(rounded) if rounded.is_integer() else rounded


def _plain(power_mw: float, decimals: int) -> str:
    text = f"{power_mw:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _document(limit: Limit) -> str:
    source = limit.row.spec.get("power_source", limit.row.source)
    return str(source.get("document", "no document named"))


def _way(out: Sent) -> str:
    names = list(out.route.boxes) if out.route else []
    last = out.parts[-1] if out.parts else None
    if last is None or last.what == "own antenna":
        return f"through {' and '.join(names)}" if names else "with its own antenna"
    gain = f" ({last.gain_db.low:g} dBi)" if last.gain_db.known else ""
    return f"through {' and '.join([*names, last.id])}{gain}"


def _settings(plan: Plan, link: Link) -> list[float]:
    device = plan.devices[link.tx] if link.tx else None
    spec = device.model.spec if device and device.model else {}
    return sorted((float(power) for power in spec.get("powers_mw", ())), reverse=True)


def _setting(plan: Plan, facts: Facts, link: Link, out: Sent, limit: Limit) -> str | None:
    for power in _settings(plan, link):
        tried = verdict(plan, facts, link, power) if power < out.low_mw else None
        if tried is None or tried.answer != "within" or tried.sent is None or tried.sent.levels is None:
            continue
        level = tried.sent.levels.at(limit.basis)
        says = f" ({milliwatts(dbm_to_mw(level.low))} mW {BASIS_WORDS[limit.basis]})" if level.known else ""
        return f"{power:g} mW{says}"
    return None


def _antenna_that_fits(out: Sent, limit: Limit) -> str:
    last = out.parts[-1] if out.parts else None
    if out.levels is None or last is None or last.what != "antenna" or not last.gain_db.known:
        return ""
    if limit.basis == "conducted":
        return ""
    most = math.floor((last.gain_db.low - excess_db(out.levels, limit).low) * 10) / 10
    text = f", or take an antenna of {most:g} dBi or less"
    if out.basis != "conducted" or last.gain_db.low <= DIPOLE_GAIN_DBI:
        return text
    dipole = eirp_dbm(out.low_mw, "conducted", 0.0, DIPOLE_GAIN_DBI)
    if limit.basis == "erp":
        dipole -= DIPOLE_GAIN_DBI
    if dipole > mw_to_dbm(limit.high_mw):
        return text
    amount = f"{milliwatts(dbm_to_mw(dipole))} mW {BASIS_WORDS[limit.basis]}"
    return f"{text} ({out.low_mw:g} mW straight into a half-wave dipole is {amount})"


def _other_end(link: Link) -> str:
    packs = [pack.id for pack in link.packs if pack.stands_in_for is None]
    return " and ".join(packs) or link.rx or "the unit at the other end"
