"""What was not checked, folded into a few lines: write this to check that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planlint.document.nodes import split_pointer
from planlint.finding import NotChecked

MAX_LINES = 6
_NAMED = 3
#: How a missing section is asked for; other sections are named as they are.
_ASK = {
    "links": "both ends of the links (tx, packs, mic, rx)",
    "devices": "devices, each with its model",
    "carriers": "carriers of all links",
    "pack_defaults": "pack settings",
    "tour": "the tour's facts",
    "show": "the show's facts",
}


def fold(entries: Iterable[NotChecked]) -> Iterator[str]:
    """Yield at most a handful of lines, the sections that would let most rules run first."""
    sections: dict[str, list[str]] = {}
    for entry in entries:
        sections.setdefault(_section(entry.needs), []).append(entry.rule)
    if not sections:
        return
    yield "not checked:"
    ordered = sorted(sections.items(), key=lambda item: (-len(item[1]), item[0]))
    for section, rules in ordered[:MAX_LINES]:
        named = ", ".join(rules[:_NAMED])
        more = f" and {len(rules) - _NAMED} more" if len(rules) > _NAMED else ""
        yield f"  write {section} to check {named}{more}"
    left = ordered[MAX_LINES:]
    if left:
        count = sum(len(rules) for _, rules in left)
        yield f"  and {count} more rule{'' if count == 1 else 's'} (--format json lists every missing fact)"


def _section(needs: tuple[str, ...]) -> str:
    named = []
    for need in needs:
        parts = split_pointer(need)
        head = parts[0] if parts else "this file"
        deep = len(parts) == 2 and head in {"show", "spectrum", "policy", "tour", "reach"}
        word = f"{head}.{parts[1]}" if deep else _ASK.get(head, head)
        if word not in named:
            named.append(word)
    return " or ".join(named[:2])
