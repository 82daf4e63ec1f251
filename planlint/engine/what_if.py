"""What if: somebody else's carrier comes on, links go off. The rules judge both; nothing is written."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from planlint.engine.propose import Opened, findings_of, key_of
from planlint.finding import Finding


class Change(NamedTuple):
    """What the rules say that they did not say before, and what they no longer say; waived findings apart."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]


def what_if(opened: Opened, add_hz: Sequence[int], off: Sequence[str]) -> Change:
    """Judge the plan with other people's carriers added and links switched off.

    Args:
        opened: the plan.
        add_hz: carriers in Hz; each counts as somebody else's, as wide as an unwritten emission.
        off: links of the plan that are not used, and others on the air that leave.
    """
    values = dict(opened.resolved.values)
    spectrum = dict(values.get("spectrum") or {})
    others = {name: spec for name, spec in (spectrum.get("others_on_air") or {}).items() if name not in off}
    for carrier_hz in add_hz:
        others[f"added-{Decimal(carrier_hz) / 1_000_000}"] = {"carrier_mhz": Decimal(carrier_hz) / 1_000_000}
    if add_hz or "others_on_air" in spectrum:
        values["spectrum"] = {**spectrum, "others_on_air": others}
    for name in off:
        link = opened.facts.plan.links.get(name)
        if link is not None:
            section = link.entry_at.split("/")[1]
            there = dict(values.get(section) or {})
            there[name] = {**there.get(name, {}), "unused": "asked what if it is off"}
            values[section] = there
    before = {key_of(finding): finding for finding in findings_of(opened, opened.resolved.values)}
    after = {key_of(finding): finding for finding in findings_of(opened, values)}
    return Change(
        tuple(finding for key, finding in after.items() if key not in before and finding.waived is None),
        tuple(finding for key, finding in before.items() if key not in after and finding.waived is None),
    )
