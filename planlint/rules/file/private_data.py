"""Private data in a file that git keeps for ever: phone numbers, mail addresses, full names, hearing tests.

What goes wrong: a plan is cloned by crews, venues and hire firms, and what was once committed stays in its history.
Roles are enough for the show; names and numbers belong in a file that git ignores. The patterns are careful rather
than complete: labels, references, addresses of documents and region files are not looked at, and a name is
suspected only where a role belongs (`does`, `by`, the ids of people). The message does not repeat what it found.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer, note: "call +44 1632 960123 before doors"}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer, note: ask the stage manager before doors}}

Source: common practice, no source; numbers in the examples lie in ranges kept for fiction.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from planlint.document.nodes import escape, split_pointer
from planlint.facts import Facts
from planlint.finding import Fault
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="tidy", source="common practice, no source")

#: Sections of law and data sheets, and keys whose text is a number, name or address of a thing, never of a person.
_PUBLIC_SECTIONS = frozenset({"rows", "closed", "classes", "land_mobile", "tv", "models", "region", "name"})
_PUBLIC_KEYS = frozenset({"address", "file", "firmware", "label", "place", "ref", "source", "town", "uses"})
#: Where a role belongs.
_ROLE_KEYS = frozenset({"by", "does"})
_NO_DATE = r"(?!\d{4}-\d\d-\d\d)"
#: One word of these, and the text is a role.
_ROLES = (
    "accordion acoustic act actor announcer artist assistant audio back backing backline band banjo bass bassist boh box "
    "brass camera cello choir chorus clarinet comms conductor coordinator crew dancer deputy desk director dj drum drummer "
    "drums electric engineer ensemble fiddle flute foh frequency front ghost guest guitar guitarist harp head hire horn host "
    "house keyboard keyboards keys lead leader left lighting lights loader manager mc md mix mixer monitor monitors musical "
    "musician opener orchestra organ pa patch percussion percussionist performer pianist piano playback player presenter "
    "producer production promoter rack radio rf rhythm right runner sax saxophone side singer singers sound spare speaker "
    "spectrum stage steel string strings support swing synth system systems talkback tech technician theatre tour trombone "
    "trumpet understudy utility venue video viola violin vocal vocalist vocals voice wardrobe wireless"
)


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    more = r"(?:[ \-()]{0,2}\d)"
    return (
        ("a mail address", re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")),
        ("a phone number", re.compile(rf"(?<![\w.])\+\d{more}{{7,14}}(?![\w.])")),
        ("a phone number", re.compile(r"(?<![\w.+-])\(?\d{3}\)?[ -]\d{3}-\d{4}(?![\w.-])")),
        ("a phone number", re.compile(r"(?<![\w.+-])0\d{2,4}[ /]\d{3,4}[ -]?\d{3,4}(?![\w.-])")),
        (
            "a phone number",
            re.compile(
                rf"\b(?:tele?|phone|mobile|ring|call)\b[ :.a-z]{{0,20}}{_NO_DATE}\d{more}{{6,14}}(?![\w.])", re.I
            ),
        ),
    )


@cache
def _hearing() -> re.Pattern[str]:
    return re.compile(r"\b(?:audiogram|hearing (?:test|loss|aid)|tinnitus)\b", re.IGNORECASE)


@cache
def _full_name() -> re.Pattern[str]:
    part = r"[A-Z][a-zà-öø-ÿ'’]+(?:-[A-Z][a-zà-öø-ÿ'’]+)?"
    return re.compile(rf"{part}(?:[ ._-](?:[A-Z]\.?|da|de|del|di|la|le|van|von|der|den|bin|al))*[ ._-]{part}")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each text that looks like private data."""
    for at, text in _texts(plan.values, ""):
        what = _found(at, text)
        if what:
            yield _fault(at, what)
    for name in sorted(plan.section("people")):
        if _is_a_name(name):
            yield _fault(f"/people/{escape(name)}", "a person's full name", key=True)


def _texts(node: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(node, str):
        yield at, node
    elif isinstance(node, dict):
        for key, child in node.items():
            if key not in _PUBLIC_KEYS and not (at == "" and key in _PUBLIC_SECTIONS):
                yield from _texts(child, f"{at}/{escape(str(key))}")
    elif isinstance(node, list):
        for index, child in enumerate(node):
            yield from _texts(child, f"{at}/{index}")


def _found(at: str, text: str) -> str | None:
    """Say what a text holds that is private, or None."""
    parts = split_pointer(at)
    for what, pattern in _patterns():
        if pattern.search(text):
            return what
    if parts[0] == "people" and _hearing().search(text):
        return "a matter of somebody's hearing"
    return "a person's full name" if parts[-1] in _ROLE_KEYS and _is_a_name(text) else None


def _is_a_name(text: str) -> bool:
    """Say whether a text is two or three capitalised words of which none is known from roles."""
    words = re.split(r"[ ._-]+", text.strip())
    if not 2 <= len(words) <= 4 or any(word.casefold() in _ROLES.split() for word in words):
        return False
    return _full_name().fullmatch(text.strip()) is not None


def _fault(at: str, what: str, *, key: bool = False) -> Fault:
    return Fault(
        at,
        f"this looks like {what}, and git keeps it for ever. Write the role; keep names and numbers in a file that git "
        "ignores. If it was committed already, the history holds it too.",
        (),
        {"looks_like": what},
        fix="write the role instead",
        key=key,
    )
