"""Sound check and show together are more than a day's noise dose by a published yardstick.

What goes wrong: each part of the day seems short, and nobody adds them up. 90 minutes at 97 dB(A) are 300 % of a day
already. Counted is the time of `sound check` and `show` in `day` in which a link of the person's own is on the air,
at the person's `average_db_spl`.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {average_db_spl: 97}}
    links: {vox: {kind: ear, packs: {PK-1: {person: vox}}}}
    devices: {PK-1: {}}
    day: [{what: show, at: "21:00", until: "22:30", on_air: all}]

Good::

    plan_format: 1
    kind: plan
    people: {vox: {average_db_spl: 84}}
    links: {vox: {kind: ear, packs: {PK-1: {person: vox}}}}
    devices: {PK-1: {}}
    day: [{what: show, at: "21:00", until: "22:30", on_air: all}]

What else the day brings (travel, a rehearsal, another band's set) counts too and is not in this sum. The level is
whatever the plan says: planlint measures nothing, and what is printed is an estimate, not an assessment. An employer's
duties are in the law of the place, and those who advise on hearing know them.

Source: NIOSH 98-126 (1998): D = 100 x sum of C / T, T = 8 h / 2^((L - 85) / 3), read in a public copy; 6 dB either way
from memory, not verified.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ears import wearer
from planlint.facts.music import Music, music
from planlint.facts.packs import ear_links, main_packs
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rf.hearing import UNCERTAINTY_DB, YARDSTICKS, dose_pct
from planlint.rules.base import NoOptions, Rule
from planlint.rules.hearing_wording import DISCLAIMER, NAME, YARDSTICK, level
from planlint.rules.packs import joined, lacking_packs, value

RULE = Rule(severity="warning", group="hearing", source="NIOSH 98-126 (1998)", accept={"dose_pct": "higher"})

_PRECISION_PCT = 1e-9


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person whose day adds up to more than 100 %."""
    yield from lacking_packs(plan)
    links: dict[str, list[str]] = {}
    for link in ear_links(plan):
        for pack in main_packs(link):
            person = wearer(plan, link, pack)
            if isinstance(person, str):
                links.setdefault(person, []).append(link.id)
            else:
                yield Unchecked(person, (link.id, pack.id))
    for person in sorted(links):
        at = f"/people/{escape(person)}/average_db_spl"
        average = plan.section("people").get(person, {}).get("average_db_spl")
        played = music(plan, facts, links[person])
        needs = (*(() if average is not None else (at,)), *played.needs)
        if needs:
            yield Unchecked(needs, tuple(links[person]))
        elif average is not None:
            yield from _judge(person, at, float(average), played, links[person])


def _judge(person: str, at: str, average: float, played: Music, links: list[str]) -> Iterator[Fault]:
    hours = played.minutes / 60
    dose, least, most = (
        dose_pct([(average + off, hours)], YARDSTICK) for off in (0.0, -UNCERTAINTY_DB, UNCERTAINTY_DB)
    )
    if dose <= 100 + _PRECISION_PCT:
        return
    down = math.ceil(YARDSTICKS[YARDSTICK].exchange_db * math.log2(dose / 100) - _PRECISION_PCT)
    yield Fault(
        at,
        f"{person}: {played.minutes} min of {joined(played.parts)} at {level(average)} dB(A) are {level(dose, 100)} % of a day's dose by "
        f"{NAME} ({least:.0f} to {most:.0f} % with ±{UNCERTAINTY_DB:g} dB), and the rest of the day counts too. Bring the mix "
        f"and {person}'s pack down {down} dB, or play shorter checks. {DISCLAIMER}",
        tuple(dict.fromkeys(links)),
        {
            "dose_pct": value(round(dose, 1)),
            "average_db_spl": value(average),
            "minutes": played.minutes,
            "uncertainty_db": value(UNCERTAINTY_DB),
            "yardstick": NAME,
        },
        tuple(Mark(entry, "counted") for entry in played.entries),
        rank=-dose,
    )
