"""Whether a link keeps within the power that the region's rows and the licences held let it use."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from planlint.facts.chain import Levels
from planlint.facts.power import Answer as PowerAnswer
from planlint.facts.power import Limit, Permission, Sent, excess_db, judge, limits, permission, row_limit, sent
from planlint.facts.spectrum import weakest
from planlint.plan.model import Link, Plan, Row

if TYPE_CHECKING:
    from planlint.facts import Facts

#: within: nothing to say. over: above the limit that applies. licence: above it, and a licence would do.
#: closed: only licence holders may use the carrier at all. unknown: facts are missing.
Answer = Literal["within", "over", "licence", "closed", "unknown"]


class Verdict(NamedTuple):
    """What the law's power limits say about one link.

    Attributes:
        answer: the answer.
        permission: the rows that hold its carrier.
        sent: what it sends; None where that makes no difference.
        limit: where it is over: the limit among those that apply which it exceeds least.
        needs: pointers to write where the answer is unknown; where it is over without a licence, and the
            plan writes no licences.
    """

    answer: Answer
    permission: Permission
    sent: Sent | None = None
    limit: Limit | None = None
    needs: tuple[str, ...] = ()

    @property
    def power_status(self) -> str:
        """The weakest status of the power limits that apply, or could."""
        rows = self.permission.applies or self.permission.unknown
        return weakest([row.status.get("power", "memory") for row in rows])

    @property
    def band_status(self) -> str:
        """The weakest status of the bands that only licence holders may use."""
        return weakest([row.status.get("band", "memory") for row in self.permission.closed])


def verdict(plan: Plan, facts: Facts, link: Link, power_mw: float | None = None) -> Verdict | None:
    """Judge a link's power; None where its carrier is in no row at all, which is another matter.

    Args:
        plan: the plan.
        facts: its facts.
        link: the link.
        power_mw: a power setting to try instead of what the plan writes.
    """
    may = permission(plan, facts, link)
    if may is None:
        return None
    if not may.applies and not may.unknown:
        return Verdict("closed", may)
    out = sent(plan, facts, link, power_mw)
    levels = out.levels
    if levels is None:
        return Verdict("unknown", may, out, needs=out.needs if may.applies else may.licence_needs)
    choices = [limit for row in may.applies for limit in _choices(plan, link, row, may)]
    if not choices:
        choices = [(row_limit(plan, link, row),) for row in may.unknown]
        if any(_all(levels, together) != "over" for together in choices):
            return Verdict("unknown", may, out, needs=may.licence_needs)
    answers = [_all(levels, together) for together in choices]
    if "within" in answers:
        return Verdict("within", may, out)
    if "unknown" in answers:
        open_ones = [together for together in choices if _all(levels, together) == "unknown"]
        needs = [need for together in open_ones for need in _needs(levels, together)]
        return Verdict("unknown", may, out, needs=tuple(dict.fromkeys(needs)))
    hardest = [max(together, key=lambda limit: excess_db(levels, limit).low) for together in choices]
    least = min(hardest, key=lambda limit: excess_db(levels, limit).low)
    return _over(plan, link, Verdict("over", may, out, least), levels)


def _over(plan: Plan, link: Link, over: Verdict, levels: Levels) -> Verdict:
    """Say whether a power over every limit that applies is a matter for a licence."""
    may = over.permission
    if any(judge(levels, row_limit(plan, link, row)) != "over" for row in may.unknown):
        answer: Answer = "unknown" if "licences" in plan.values else "over"
        return over._replace(answer=answer, needs=may.licence_needs)
    unlicensed = all(row.licence_class == "unlicensed" for row in may.applies)
    if unlicensed and any(judge(levels, row_limit(plan, link, row)) != "over" for row in may.closed):
        return over._replace(answer="licence")
    return over


def _choices(plan: Plan, link: Link, row: Row, may: Permission) -> list[tuple[Limit, ...]]:
    cover = may.covers.get(row.id)
    return limits(plan, link, row, cover.held if cover else ())


def _all(levels: Levels, together: tuple[Limit, ...]) -> PowerAnswer:
    answers = {judge(levels, limit) for limit in together}
    if "over" in answers:
        return "over"
    return "unknown" if "unknown" in answers else "within"


def _needs(levels: Levels, together: tuple[Limit, ...]) -> tuple[str, ...]:
    return tuple(need for limit in together for need in (*levels.needs(limit.basis), *limit.needs))
