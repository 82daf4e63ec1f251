"""What the rules about mixes share: what is missing, and whom a mix concerns."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts.mixes import Mix
from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking_mixes(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is not checked because the plan writes no mixes."""
    if "mixes" not in plan.values:
        yield Unchecked(("/mixes",))


def concerned(plan: Plan, *found: Mix) -> tuple[str, ...]:
    """Return the links that carry mixes with their transmitters, for `subjects`; else the mixes themselves.

    Links that rest tonight count too: a desk's patch is the tour's, and one fault is one finding over all its shows.
    """
    names = {mix.id for mix in found}
    links = [link for link in plan.links.values() if names & set((link.feed or {}).values())]
    ids = {link.id for link in links} | {link.tx for link in links if link.tx}
    return tuple(sorted(ids)) or tuple(sorted(names))
