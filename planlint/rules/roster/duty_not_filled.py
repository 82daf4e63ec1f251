"""A duty that the service needs, with nobody, or too few, on the roster for it.

What goes wrong: three sing, two play, and nobody is down to mix their ears or hand out the packs. It shows at a quarter to.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2027-09-05"}
    people: {leader: {does: leads the singing}, desk-a: {does: helps at the desk}}
    duties: {desk: {does: mixes the ears}, packs: {does: hands out packs}}
    roster: {sep-5: {date: "2027-09-05", present: all, duties: {desk: [desk-a]}}}

Good::

    plan_format: 1
    kind: plan
    show: {date: "2027-09-05", duties: [desk]}
    people: {leader: {does: leads the singing}, desk-a: {does: helps at the desk}}
    duties: {desk: {does: mixes the ears}, packs: {does: hands out packs}}
    roster: {sep-5: {date: "2027-09-05", present: all, duties: {desk: [desk-a]}}}

A show needs the duties it lists, unwritten all of them, and of each as many people as it takes, unwritten one. Who is off
counts for none. A date that the roster does not have is not checked.

Source: a count; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.roster import Tonight, lacking, needed_duties, tonight
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="margin", source="a count", accept={"people": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each duty of the show with fewer people on than it takes."""
    needs = (*(() if "duties" in plan.values else ("/duties",)), *lacking(plan))
    if needs:
        yield Unchecked(needs)
    roster = tonight(plan)
    duties = needed_duties(plan)
    if roster is None or not duties:
        return
    if not any("duties" in entry.spec for entry in roster.entries):
        yield Unchecked(tuple(f"{entry.at}/duties" for entry in roster.entries))
        return
    for duty, wanted in duties.items():
        on = [person for person in roster.duties.get(duty, ()) if not roster.away(person)]
        if len(on) < wanted:
            yield _fault(plan, roster, duty, (wanted, on))


def _fault(plan: Plan, roster: Tonight, duty: str, people: tuple[int, list[str]]) -> Fault:
    wanted, on = people
    does = plan.section("duties")[duty].get("does")
    away = [person for person in roster.duties.get(duty, ()) if roster.away(person)]
    entry = next((entry for entry in roster.entries if "duties" in entry.spec), roster.entries[0])
    have = f"{joined(on)} alone" if on else "nobody"
    return Fault(
        f"{entry.at}/duties/{escape(duty)}",
        f"Duty {duty}{f' ({does})' if does else ''} takes {wanted} on {plan.date} and the roster has {have}"
        f"{f'; {joined(away)} is down for it and off' if away else ''}. Ask somebody and add them, or leave the duty out of this show.",
        (duty,),
        {"duty": duty, "people": len(on), "needed": wanted},
        (Mark(f"/duties/{escape(duty)}", f"it takes {wanted}", key=True),),
    )
