"""Triage: where each finding is worked on, how long that takes, how bad it is to leave it, and what fits the time.

Nothing here is in a rule: it follows from a finding's pointer and subjects, its rule's group, and the plan.

Harm, the worst first: `law`; `hearing`; `unread` (part of the plan could not be judged); `dead-link`; `margin`;
`tidy`. It is the rule's group; a note about anything but law and hearing is `tidy`, for it fails nothing by itself.

Effort is counted in touches (`planlint/facts/hands.py`):

- at a carrier: one of our links that are not pinned is retuned; every unit on it and its entry in each listening list;
- at a pack's, a device's or a link's setting: that unit, or the link's transmitter or receiver;
- at a listening list: one entry for each link the finding names;
- at an antenna: that antenna; at a distance between two: either of them; at a spot out of reach: the transmitter;
- anywhere else, the devices that the finding names, so rather too many than too few;
- at paper (schedule, scans, licences, cautions, waivers, a file that cannot be read): none, and no minutes are claimed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from planlint.document.nodes import split_pointer
from planlint.facts.hands import rate, retune, spot, touch
from planlint.finding import Finding, Harm, Spot, Touch, Triage
from planlint.plan import Plan
from planlint.rules.registry import by_id

Ways = tuple[tuple[Touch, ...], ...]

_HARM: dict[str, Harm] = {
    "law": "law", "hearing": "hearing", "file": "unread", "link": "dead-link", "margin": "margin", "tidy": "tidy",
}  # fmt: skip
#: Folders of rules, and sections of a plan, whose work is with paper, at a meter or on the telephone.
_PAPER_RULES = frozenset({"file", "waivers", "cautions"})
_PAPER = frozenset({
    "cautions", "day", "fallback", "licences", "people", "plan_format", "policy", "scans", "ships", "show", "spares_mhz",
    "spectrum", "tour", "uses", "waivers", "allotted_mhz", "acts", "stages", "if_lost", "told", "chargers",
})  # fmt: skip
#: Keys of a link that are set at its receiver; the others are set at its transmitter.
_AT_RECEIVER = frozenset({"rx", "desk_in"})
#: Sections that hold a unit by its id, and the keys there that speak of a type of unit rather than of the one.
_BY_UNIT = frozenset({"devices", "found", "group_overrides_mhz", "hired"})
_PLACES = ("rack", "person", "antenna", "unit")


def harm(finding: Finding) -> Harm:
    """Return what happens if a finding is left."""
    found = _HARM[by_id()[finding.rule].rule.group]
    return found if finding.severity != "note" or found in {"law", "hearing"} else "tidy"


def spots(touches: Iterable[Touch]) -> tuple[Spot, ...]:
    """Return where touches are done, each place once: racks first, then people, antennas, units."""
    return tuple(sorted({each.where for each in touches}, key=lambda place: (_PLACES.index(place.kind), place.id)))


class Triager:
    """Triages the findings of one plan; None stands for a plan that could not be judged."""

    def __init__(self, plan: Plan | None) -> None:
        self._plan = plan
        self._retunes: dict[str, tuple[Touch, ...]] = {}

    def triage(self, finding: Finding) -> Triage:
        """Return what a finding asks of the crew."""
        plan = self._plan
        if plan is None:
            return Triage((), None, harm(finding))
        ways = self._ways(plan, finding)
        if not ways:
            return Triage(_beside(plan, finding), None, harm(finding))
        return Triage(spots(ways[0]), len(ways[0]) * rate(plan).min_per_unit, harm(finding), ways)

    def _ways(self, plan: Plan, finding: Finding) -> Ways:
        """Return the ways to clear a finding, fewest touches first."""
        parts = split_pointer(finding.place.pointer)
        if by_id()[finding.rule].subject in _PAPER_RULES or not parts:
            return ()
        if parts[-1] == "carrier_mhz" and parts[0] in {"links", "carriers", "spectrum"}:
            ways = self._carrier(plan, finding)
        elif parts[0] in _PAPER or (parts[0] == "models" and harm(finding) == "tidy"):
            return ()
        else:
            units = _antennas(plan, parts) or [_units(plan, parts, finding)]
            ways = [tuple(touch(plan, unit) for unit in each) for each in units]
            ways = _entries(plan, parts, finding) or ways
        return tuple(sorted((way for way in ways if way), key=lambda way: (len(way), way)))

    def _carrier(self, plan: Plan, finding: Finding) -> list[tuple[Touch, ...]]:
        ours = [plan.links[name] for name in finding.subjects if name in plan.links]
        for link in ours:
            if link.id not in self._retunes:
                self._retunes[link.id] = retune(plan, link)
        return [self._retunes[link.id] for link in [link for link in ours if link.pinned is None] or ours]


def _named(plan: Plan, finding: Finding) -> list[str]:
    return [name for name in finding.subjects if name in plan.devices]


def _antennas(plan: Plan, parts: Sequence[str]) -> list[list[str]]:
    """Return each antenna that could be worked on, alone: the one pointed at, or either of two that are too close."""
    known = plan.section("antennas")
    if parts[0] == "apart_m":
        return [[name] for name in parts[1:3] if name in known]
    return [[parts[1]]] if parts[0] == "antennas" and parts[1:2] and parts[1] in known else []


def _entries(plan: Plan, parts: Sequence[str], finding: Finding) -> list[tuple[Touch, ...]]:
    """Return the entries of a pack's listening list, where a finding points at one."""
    if parts[-1] != "listens_to" or parts[0] != "links":
        return []
    links = [name for name in finding.subjects if name in plan.links and name != parts[1]]
    return [tuple(Touch(parts[3], name, spot(plan, parts[3])) for name in links)]


def _units(plan: Plan, parts: Sequence[str], finding: Finding) -> list[str]:
    """Return the units to touch: the one pointed at, else those that the finding names."""
    named = _named(plan, finding)
    section, name, last = parts[0], parts[1] if len(parts) > 1 else "", parts[-1]
    if section in _BY_UNIT and name and not (last == "model" and named):
        return [name]
    if section == "links" and len(parts) > 3 and parts[2] == "packs":
        return [parts[3]]
    link = plan.links.get(name) if section in {"links", "carriers"} else None
    if link is not None and len(parts) > 2:
        end = link.rx if parts[2] in _AT_RECEIVER else link.tx
        return [end or link.id]
    if section == "reach":
        return [link.tx or link.id for link in map(plan.links.get, finding.subjects) if link is not None]
    return named


def _beside(plan: Plan, finding: Finding) -> tuple[Spot, ...]:
    """Return whom or what a finding is about where no unit is touched."""
    parts = split_pointer(finding.place.pointer)
    if len(parts) > 1 and parts[0] == "people" and parts[1] in plan.section("people"):
        return (Spot("person", parts[1]),)
    return ()


def triage(findings: Iterable[Finding], plan_of: Callable[[str], Plan | None]) -> tuple[Finding, ...]:
    """Return findings with their triage, in the same order.

    Args:
        findings: the findings of a run.
        plan_of: returns a judged plan by its file, or None.
    """
    triagers: dict[str, Triager] = {}
    done = []
    for finding in findings:
        if finding.plan not in triagers:
            triagers[finding.plan] = Triager(plan_of(finding.plan))
        done.append(finding._replace(triage=triagers[finding.plan].triage(finding)))
    return tuple(done)
