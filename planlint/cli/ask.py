"""`planlint spares`, `planlint why`, `planlint what-if` and `planlint move`: questions; nothing is written."""

from __future__ import annotations

import os
import sys
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from planlint.cli.assign import open_or_exit, progress_to
from planlint.cli.one_plan import AnswerFormat, Output, PlanFile, Root, stop, write

if TYPE_CHECKING:
    from planlint.facts import Facts


class LinkKind(StrEnum):
    """Kinds of link."""

    EAR = "ear"
    MIC = "mic"
    COMMS = "comms"
    OTHER = "other"


def spares(
    plan: PlanFile,
    *,
    kind: Annotated[LinkKind, typer.Option(help="For which kind of link.")],
    count: Annotated[str, typer.Option(help="How many, or max: as many as fit.")] = "4",
    seconds: Annotated[
        float, typer.Option(min=0, help="How long to search at most; Ctrl-C ends it too. The best so far is given.")
    ] = 20.0,
    rounds: Annotated[
        int | None, typer.Option(min=1, help="Rounds of the search for max: the same answer on every machine.")
    ] = None,
    seed: Annotated[int, typer.Option(help="Of the random choices; the same seed gives the same answer in time.")] = 0,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
) -> None:
    """Find spare carriers that are clear with the live set and with each other, in the order to use them.

    Exit code 0: as many as asked for; with max, one at least. 1: fewer. 2: wrong use. 3: a fault of planlint itself.
    """
    if count != "max" and not (count.isascii() and count.isdigit() and int(count) > 0):
        stop(f"--count {count}: write a number of spares, or max")
    wanted = None if count == "max" else int(count)
    # Small sums, one after another: threads of the linear algebra only stand in each other's way (measured).
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from planlint.assign.spare_choice import choose_spares
    from planlint.assign.spares import Effort
    from planlint.engine.moving import said_of_spares
    from planlint.output import spares as ladders

    opened = open_or_exit(plan, root)
    show = progress_to(sys.stderr)
    found = choose_spares(
        opened.facts, kind.value, wanted, Effort(seconds, rounds, _workers(), seed),
        lambda number, at_most: show(f"{number} found, at most {at_most} fit"),
    )  # fmt: skip
    show("")
    said = said_of_spares(opened, kind.value, [one.carrier_hz for one in found.spares])
    write((ladders.as_json if output is AnswerFormat.JSON else ladders.as_text)(opened.facts, found, said))
    raise typer.Exit(int(not found.spares if wanted is None else len(found.spares) < wanted))


def _workers() -> int:
    """Return how many processes a search may use: the machine's cores, at most 4."""
    of_this_process = getattr(os, "sched_getaffinity", None)
    return min(4, len(of_this_process(0)) if of_this_process else os.cpu_count() or 1)


def why(
    plan: PlanFile,
    carrier: Annotated[str, typer.Argument(metavar="MHZ", help="A carrier in MHz, like 505.300.")],
    *,
    link: Annotated[str | None, typer.Option(help="For this link; without it, for each in a line.")] = None,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
) -> None:
    """Say why a carrier passes or does not, with every number, and which pass nearest to it.

    Exit code 0: nothing was found against it (without --link: for one link at least). 1: something was.
    """
    from planlint.assign.ask import look
    from planlint.output import why as sums

    carrier_hz = _hz(carrier)
    facts = open_or_exit(plan, root).facts
    if link:
        _check_link(facts, link)
    names = [link] if link else [name for name, one in sorted(facts.plan.links.items()) if one.wants_carrier]
    found = [look(facts, name, carrier_hz) for name in names]
    if not found:
        stop("the plan has no links: write links to ask about")
    write((sums.as_json if output is AnswerFormat.JSON else sums.as_text)(facts, found))
    raise typer.Exit(int(not any(one.passes for one in found)))


def what_if(
    plan: PlanFile,
    *,
    add: Annotated[list[str] | None, typer.Option(help="Somebody else's carrier in MHz comes on.")] = None,
    off: Annotated[list[str] | None, typer.Option(help="This link, or this other on the air, goes off.")] = None,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
) -> None:
    """Say what a guest's carrier, or a link switched off, would change. Nothing is written.

    Exit code 0: no new error. 1: a new error. 2: wrong use.
    """
    from planlint.engine.what_if import what_if as judge
    from planlint.output import what_if as changes

    opened = open_or_exit(plan, root)
    known = {*opened.facts.plan.links, *opened.facts.plan.others}
    for name in off or ():
        if name not in known:
            stop(f"{name}: the plan has no such link or other; it has {', '.join(sorted(known)) or 'none'}")
    if not add and not off:
        stop("say what changes: --add MHZ, --off ID, or several")
    found = judge(opened, [_hz(text) for text in add or ()], off or [])
    write((changes.as_json if output is AnswerFormat.JSON else changes.as_text)(opened.facts, found))
    raise typer.Exit(int(any(finding.severity == "error" for finding in found.new)))


def move(
    plan: PlanFile,
    link: Annotated[str, typer.Argument(help="The link that is dying.")],
    *,
    output: Output = AnswerFormat.TEXT,
    root: Root = None,
) -> None:
    """Say where a dying link goes, and the steps in order, packs at minimum first. Nothing is written.

    Exit code 0: there is a carrier. 1: none passes, or only with a new error or warning. 2: wrong use.
    """
    from planlint.assign.ask import no_way
    from planlint.engine.moving import checked_way_out
    from planlint.output import move as ways

    opened = open_or_exit(plan, root)
    _check_link(opened.facts, link)
    found = checked_way_out(opened, link)
    if found is None:
        why = no_way(opened.facts, link)
        typer.echo(f"planlint: {ways.none_text(link, why)}", err=True)
        if output is AnswerFormat.JSON:
            write(ways.none_json(opened.facts, link, why))
        raise typer.Exit(1)
    write((ways.as_json if output is AnswerFormat.JSON else ways.as_text)(opened.facts, found))
    raise typer.Exit(int(bool(found.brings)))


def _check_link(facts: Facts, name: str) -> None:
    """End with exit code 2 where the plan has no such link, or its units pick their own carrier."""
    link = facts.plan.links.get(name)
    if link is None:
        stop(f"{name}: the plan has no such link; it has {', '.join(sorted(facts.plan.links)) or 'none'}")
    if link.self_tuned is not None and link.carrier_hz is None:
        stop(f"{name}: its units pick their own carrier ({link.self_tuned}); there is none to ask about")


def _hz(text: str) -> int:
    from planlint.plan.quantity import to_hz

    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal(0)
    if not value.is_finite() or not 1 <= value < 10_000:
        stop(f"{text}: write a carrier in MHz, like 505.300")
    return to_hz(value, "mhz")
