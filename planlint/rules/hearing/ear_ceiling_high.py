"""What a pack's limiter lets through, in dB SPL at the ear, and how long a published yardstick gives for it.

What goes wrong: a limiter's number says nothing before it meets the earphones: the same -12 dB is 100 dB SPL in one
pair and 118 in another. Above the house's `policy.hearing.ask_above_db_spl` this is a warning to talk about it with
the wearer; below it is a note, so that the number is known.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, limiter_db: {low: -27, high: 0}, limiter_ref: max_output, max_output_dbv: 2}}
    people: {vox: {ears: moulded}}
    earphones: {moulded: {sensitivity_db_spl_per_mw: 107, impedance_ohm: 25}}
    devices: {TX-1: {}, PK-1: {model: pack-m}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, limiter_db: -6}}}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, limiter_db: {low: -50, high: 0}, limiter_ref: max_output, max_output_dbv: 2}}
    people: {vox: {ears: moulded}}
    earphones: {moulded: {sensitivity_db_spl_per_mw: 107, impedance_ohm: 25}}
    devices: {TX-1: {}, PK-1: {model: pack-m}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, limiter_db: -47}}}}

Ceiling = sensitivity + 10 log10(1000 / impedance) + `max_output_dbv` + `limiter_db`. One number for a whole earphone
is good to 6 dB at best; it is read as dB(A) and nothing is taken off for the way from the eardrum to the open field
in which the yardstick is stated. The rule is silent only where 6 dB more would still be within the yardstick's level
for a whole working day: the good example is far quieter than anybody plays, to show where that is. A limiter caps
peaks; what a whole day adds up to is `dose-over-day`. Only a measurement in the ear or in an ear simulator says what
arrives there, and people with hearing questions belong with a hearing professional.

Source: earphone level by definition (worked example at spuriae.com/calculators/sensitivity-converter); times by NIOSH
98-126 (1998), T = 8 h / 2^((L - 85) / 3), read in public copies; 6 dB from memory, not verified; 112 dB SPL, the
unwritten limit, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ears import Ear, NoEar, ears
from planlint.facts.limits import number, written
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rf.hearing import UNCERTAINTY_DB, YARDSTICKS
from planlint.rules.base import NoOptions, Rule
from planlint.rules.hearing_wording import (
    DISCLAIMER,
    NAME,
    PLUS_MINUS,
    YARDSTICK,
    level,
    seconds_at,
    time_at,
    time_if_higher,
)
from planlint.rules.packs import house_mark, joined, lacking_packs, named, subjects, text, value

RULE = Rule(
    severity="warning",
    group="hearing",
    source="NIOSH 98-126 (1998); earphone level by definition",
    accept={"ceiling_db_spl": "higher"},
)

_PRECISION_DB = 1e-9
"""Sums of logarithms come out this near: a level exactly on the house's limit is a note."""


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a warning or a note for each limiter setting at somebody's ears, packs set alike on a link together."""
    yield from lacking_packs(plan)
    limit = number(plan, "hearing.ask_above_db_spl")
    alike: dict[tuple[str, str, float, float], list[Ear]] = {}
    for ear in ears(plan):
        if isinstance(ear, NoEar):
            yield Unchecked(ear.needs, subjects(ear.link, ear.pack))
        elif ear.ceiling_db_spl + UNCERTAINTY_DB > YARDSTICKS[YARDSTICK].level_dba:
            key = (ear.link.id, ear.earphones.person, ear.limiter_db, ear.ceiling_db_spl)
            alike.setdefault(key, []).append(ear)
    for together in alike.values():
        together.sort(key=lambda ear: (ear.pack.stands_in_for is not None, ear.pack.id))
        yield _fault(plan, together, limit)


def _fault(plan: Plan, together: list[Ear], limit: float) -> Fault:
    first = together[0]
    ceiling = first.ceiling_db_spl
    over = ceiling > limit + _PRECISION_DB
    packs = [ear.pack for ear in together]
    off = first.limiter.value == "none"
    what = "full output, without a limiter," if off else f"limiter setting {text(first.limiter.value)} dB"
    person = first.earphones.person
    talk = f" Talk it over with {person}, then set {joined([pack.id for pack in packs])}." if over else ""
    return Fault(
        f"{first.pack.at}/limiter_db",
        f"{joined([named(pack) for pack in packs])}: {what} lets an estimated {level(ceiling, limit)} dB SPL ({PLUS_MINUS}) "
        f"through to {first.earphones.id}{_asks(plan, limit) if over else ''}. {NAME} allows {time_at(ceiling)} a day at that "
        f"level, {time_if_higher(ceiling)} if it is 6 dB more. {_lower(first)}{talk} {DISCLAIMER}",
        subjects(first.link, *packs),
        {
            "ceiling_db_spl": value(round(ceiling, 2)),
            "uncertainty_db": value(UNCERTAINTY_DB),
            "limit_db_spl": value(limit),
            "limiter_db": value(first.limiter.value),
            "yardstick": NAME,
            "yardstick_s": value(seconds_at(ceiling)),
        },
        (*house_mark(first.limiter), Mark(first.earphones.at, f"{person} wears these", key=True)),
        severity="warning" if over else "note",
        rank=-ceiling,
    )


def _asks(plan: Plan, limit: float) -> str:
    of_the_house = written(plan, "hearing.ask_above_db_spl") is not None
    return f", above the {level(limit)} dB SPL {'that the house set' if of_the_house else 'taken where the house sets none'}"


def _lower(ear: Ear) -> str:
    """Say what the next lower settings would give."""
    if not ear.lower_db:
        return "No lower setting of its model is known: what can come down is the send from the desk."
    told = (
        f"{text(setting)} dB gives {level(ear.ceiling_at(setting))} dB SPL and {time_at(ear.ceiling_at(setting))}"
        for setting in ear.lower_db
    )
    return f"{'; '.join(told)}."
