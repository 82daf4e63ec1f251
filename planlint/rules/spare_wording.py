"""What the rules about spare carriers share: the kinds of links, their units, and the carriers kept for them."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Spare

#: What a message calls links of a kind.
KIND_WORDS = {"ear": "in-ear links", "mic": "microphones", "comms": "comms links", "other": "other links"}


def lacking_spares(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where no spare carriers are written, or no links."""
    if "spares_mhz" not in plan.values:
        yield Unchecked(("/spares_mhz",))
    if not plan.links:
        yield Unchecked(("/links",))


def links_of_kind(plan: Plan, kind: str) -> list[Link]:
    """Return the links of a kind that are used tonight on a carrier of ours, by id."""
    links = (plan.links[name] for name in sorted(plan.links))
    return [link for link in links if link.wants_carrier and link.kind == kind]


def spares_of(plan: Plan, kind: str) -> list[Spare]:
    """Return the spares of a kind, in the order in which they are taken."""
    return [spare for spare in plan.spares if spare.kind == kind]
