"""Troubles of a file as the file rules see them: each with its exact place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planlint.document import Span
from planlint.document.nodes import split_pointer
from planlint.finding import Fault, Place
from planlint.schema.judge import Judged


class Spotted:
    """One trouble: what the message needs, and how to make a fault of it."""

    def __init__(self, file: str, span: Span, pointer: str, values: Mapping[str, str]) -> None:
        self.values = values
        self.pointer = pointer
        self.place = Place(file, *span, pointer)
        self.related: tuple[tuple[Place, str], ...] = ()

    @property
    def path(self) -> str:
        """The pointer as people write it: `links.ear-1.kind`."""
        return ".".join(split_pointer(self.pointer)) or "this file"

    def get(self, name: str) -> str:
        """Return one of the values, or an empty text."""
        return self.values.get(name, "")

    def fault(self, message: str, *, fix: str | None = None) -> Fault:
        """Return the fault with this trouble's place."""
        return Fault(self.pointer, message, place=self.place, related_places=self.related, fix=fix)


def of(judged: Judged, rule: str) -> Iterator[Spotted]:
    """Yield a file's troubles that the rule `rule` words."""
    file = judged.document.file
    for trouble in judged.troubles:
        if trouble.rule == rule:
            spotted = Spotted(file, trouble.span, trouble.pointer, trouble.values)
            spotted.related = tuple((Place(file, *span, trouble.pointer), label) for span, label in trouble.related)
            yield spotted
