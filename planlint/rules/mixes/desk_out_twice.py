"""Two mixes planned on one desk output.

What goes wrong: one of the two people hears the other's mix, and nobody sees it in the patch.

Bad::

    plan_format: 1
    kind: plan
    mixes:
      tech: {width: mono, desk_out: [11]}
      g-a: {width: mono, desk_out: [11]}

Good::

    plan_format: 1
    kind: plan
    mixes:
      tech: {width: mono, desk_out: [11]}
      g-a: {width: mono, desk_out: [12]}

Source: equality of numbers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.mixes import Mix, mixes
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.mixes_wording import concerned, lacking_mixes
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="equality of numbers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each desk output that more than one mix is planned on."""
    yield from lacking_mixes(plan)
    users: dict[int, list[Mix]] = {}
    for mix in mixes(plan):
        if mix.outs is None:
            yield Unchecked((f"{mix.at}/desk_out",), concerned(plan, mix))
        for out in sorted(set(mix.outs or ())):
            users.setdefault(out, []).append(mix)
    for out, found in sorted(users.items()):
        if len(found) > 1:
            names = joined(mix.id for mix in found)
            places = [f"{mix.at}/desk_out/{(mix.outs or ()).index(out)}" for mix in found]
            yield Fault(
                places[-1],
                f"desk out {out} is planned for mixes {names}: only one of them can be on it. Give each its "
                "own output, at the desk and at the transmitter's input.",
                concerned(plan, *found),
                {"desk_out": out, "mixes": names},
                tuple(Mark(place, mix.id) for place, mix in zip(places[:-1], found[:-1], strict=True)),
            )
