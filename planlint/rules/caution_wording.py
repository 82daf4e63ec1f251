"""What the rules about missing cautions share: one question, one wording.

A plan's facts call for a caution; it is missing where `cautions` is written and no entry is about that. What the
plan itself says about a caution is printed for the crew; none of it takes the place of local codes, of the maker's
instructions or of licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link


def unwritten(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where the section itself is not written."""
    if not isinstance(plan.values.get("cautions"), list):
        yield Unchecked(("/cautions",))


def settled(plan: Plan, about: str) -> bool:
    """Say whether nothing is left to ask: an entry is about it, or the section is not written (not checked)."""
    entries = plan.values.get("cautions")
    return not isinstance(entries, list) or any(entry.get("about") == about for entry in entries)


def ask(about: str, why: str, say: str, subjects: Iterable[str] = (), marks: Iterable[Mark] = ()) -> Iterator[Fault]:
    """Yield the fault that a caution is missing.

    Args:
        about: what the caution would be about, a word of `cautions.about`.
        why: which facts of the plan call for it.
        say: the words to add, in the crew's own language if they like.
        subjects: links, others and devices that call for it.
        marks: where they are written.
    """
    yield Fault(
        "/cautions",
        f'{why}, and no caution is about {about}. Add: "{say}"',
        tuple(subjects),
        {"about": about},
        tuple(marks),
        fix=f"add {{about: {about}, say: …}} to cautions",
        key=True,
    )


def used_links(plan: Plan, *kinds: str) -> list[Link]:
    """Return the links of some kinds that are used tonight, by id."""
    links = (plan.links[name] for name in sorted(plan.links))
    return [link for link in links if link.used and link.kind in kinds]


def listed(names: Iterable[str]) -> str:
    """Write ids in one phrase: `ear-1`, `ear-1, ear-2`."""
    return ", ".join(names)
