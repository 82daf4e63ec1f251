"""The roster: who is on for the show's date, and who has which duty.

Entries of the show's date count, and of those that name a show only the ones that name this show; they add up. Who is
`away` is off whatever else is written; else who is `present`, or has a duty, is on; else, where some entry says who is on,
the others are off.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Plan


class Entry(NamedTuple):
    """An entry of the roster that counts tonight, and where it is written."""

    id: str
    spec: Mapping[str, Any]

    @property
    def at(self) -> str:
        """The pointer to it."""
        return f"/roster/{escape(self.id)}"


class Tonight(NamedTuple):
    """What the roster says of the show.

    Attributes:
        entries: the entries that count, by id.
        on: who is on; None where no entry says it. `everybody` where one says all.
        everybody: whether all are on.
        off: who is away, with the pointer that says so.
        duties: who has which duty.
    """

    entries: tuple[Entry, ...]
    on: frozenset[str] | None
    everybody: bool
    off: Mapping[str, str]
    duties: Mapping[str, tuple[str, ...]]

    def away(self, person: str) -> bool | None:
        """Say whether a person is off tonight; None where the roster does not say."""
        if person in self.off:
            return True
        if self.everybody or person in (self.on or ()) or any(person in names for names in self.duties.values()):
            return False
        return None if self.on is None else True

    def said_at(self, person: str) -> str:
        """Return the pointer to what says that a person is off."""
        said = next((f"{entry.at}/present" for entry in self.entries if "present" in entry.spec), self.entries[0].at)
        return self.off.get(person, said)


def tonight(plan: Plan) -> Tonight | None:
    """Return what the roster says of the show; None where no entry is for it."""
    show = plan.show.get("id")
    entries = tuple(
        Entry(name, spec)
        for name, spec in sorted(plan.section("roster").items())
        if isinstance(spec, dict) and spec.get("date") == plan.date and spec.get("show") in {None, show}
    )
    if not entries or plan.date is None:
        return None
    lists = [entry.spec["present"] for entry in entries if "present" in entry.spec]
    named = frozenset(name for names in lists if isinstance(names, list) for name in names)
    off = {
        name: f"{entry.at}/away/{index}" for entry in entries for index, name in enumerate(entry.spec.get("away", ()))
    }
    duties: dict[str, tuple[str, ...]] = {}
    for entry in entries:
        for duty, names in sorted(entry.spec.get("duties", {}).items()):
            duties[duty] = tuple(dict.fromkeys((*duties.get(duty, ()), *names)))
    return Tonight(entries, named if lists else None, "all" in lists, off, duties)


def lacking(plan: Plan) -> tuple[str, ...]:
    """Return what is missing to know who is on: the roster, the show's date, or an entry for it."""
    if "roster" not in plan.values:
        return ("/roster",)
    if plan.date is None:
        return ("/show/date",) if plan.section("roster") else ()
    return () if tonight(plan) is not None or not plan.section("roster") else ("/roster",)


def needed_duties(plan: Plan) -> dict[str, int]:
    """Return how many people each duty that the show needs takes, by duty: those it lists, else all."""
    duties = plan.section("duties")
    listed = plan.show.get("duties")
    names = sorted(duties) if not isinstance(listed, list) else [name for name in sorted(set(listed)) if name in duties]
    return {name: int((duties[name] or {}).get("people", 1)) for name in names}
