"""How loud each pack can get at the ears of whoever wears it: the limiter's ceiling, an estimate.

ceiling = sensitivity + 10 log10(1000 / impedance) + highest output + limiter, in dB SPL, with the limiter counted
from the pack's highest output (`limiter_ref: max_output`). See `planlint.rf.hearing` for the model and for why it
is good to 6 dB at best. A limiter that is off lets the highest output through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.packs import Setting, setting, stood_in_for, worn
from planlint.plan.model import Link, Model, Pack, Plan
from planlint.rf.hearing import ceiling_db_spl

LOWER_BY_DB = (6.0, 12.0)
"""How far below the limiter's setting the two others lie that a finding shows, where the model has them."""


class Earphones(NamedTuple):
    """The earphones of whoever wears a pack: the person, the earphones' id, what is written, and where."""

    person: str
    id: str
    spec: Mapping[str, Any]
    at: str


class Ear(NamedTuple):
    """The ceiling at one pack's earphones.

    Attributes:
        link, pack: whose it is.
        earphones: what is worn.
        limiter: the setting; its value is `none` where the limiter is off.
        limiter_db: the setting in dB below the highest output; 0 where the limiter is off.
        ceiling_db_spl: the highest level, an estimate.
        lower_db: up to two lower settings that the model has, the higher first.
    """

    link: Link
    pack: Pack
    earphones: Earphones
    limiter: Setting
    limiter_db: float
    ceiling_db_spl: float
    lower_db: tuple[float, ...]

    def ceiling_at(self, limiter_db: float) -> float:
        """Return the ceiling in dB SPL with another limiter setting."""
        return self.ceiling_db_spl + limiter_db - self.limiter_db


class NoEar(NamedTuple):
    """A pack whose ceiling cannot be computed: the pointers of what is missing."""

    link: Link
    pack: Pack
    needs: tuple[str, ...]


def ears(plan: Plan) -> Iterator[Ear | NoEar]:
    """Yield the ceiling, or what it lacks, of each pack on each in-ear link used tonight, spares included.

    A pack whose wearer wears no earphones (`ears: none`) is passed over.
    """
    for link, pack in worn(plan):
        worn_here = earphones(plan, link, pack)
        if worn_here is not None:
            yield _ear(plan, link, pack, worn_here)


def wearer(plan: Plan, link: Link, pack: Pack) -> str | tuple[str, ...]:
    """Return who wears a pack, a spare being for whoever wears the pack it stands in for; else what is missing."""
    if pack.person is not None:
        return pack.person
    main = stood_in_for(plan, link, pack) if pack.stands_in_for else None
    if main is None:
        return (f"{pack.at}/person",)
    return main.person or (f"{main.at}/person",)


def earphones(plan: Plan, link: Link, pack: Pack) -> Earphones | tuple[str, ...] | None:
    """Return the earphones a pack feeds, the pointers of what is missing to say so, or None where none are worn."""
    person = wearer(plan, link, pack)
    if not isinstance(person, str):
        return person
    name = plan.section("people").get(person, {}).get("ears")
    if name is None:
        return (f"/people/{escape(person)}/ears",)
    if name == "none":
        return None
    spec = plan.section("earphones").get(name)
    if spec is None:
        return (f"/earphones/{escape(name)}",)
    return Earphones(person, name, spec, f"/earphones/{escape(name)}")


def lower_settings(model: Model | None, limiter_db: float) -> tuple[float, ...]:
    """Return up to two settings below a limiter's, by 6 and 12 dB as far as the model goes, on its steps."""
    limits = model.spec.get("limiter_db") if model else None
    if not isinstance(limits, dict):
        return ()
    low, step = float(limits["low"]), float(limits.get("step", 0))
    found: list[float] = []
    for less in LOWER_BY_DB:
        target = max(limiter_db - less, low)
        if step:
            target = low + math.floor((target - low) / step + 1e-9) * step
        if target < min([limiter_db, *found]):
            found.append(target)
    return tuple(found)


def _ear(plan: Plan, link: Link, pack: Pack, worn_here: Earphones | tuple[str, ...]) -> Ear | NoEar:
    device = plan.devices.get(pack.id)
    model = device.model if device else None
    limiter = setting(plan, pack, "limiter_db")
    needs = [] if isinstance(worn_here, Earphones) else list(worn_here)
    if isinstance(worn_here, Earphones):
        wanted = ("sensitivity_db_spl_per_mw", "impedance_ohm")
        needs += [f"{worn_here.at}/{key}" for key in wanted if key not in worn_here.spec]
    needs += [limiter.at] if limiter.value is None else []
    if model is None:
        needs.append(f"/devices/{escape(pack.id)}/model")
    else:
        counts = ["max_output_dbv"] if limiter.value == "none" else ["max_output_dbv", "limiter_ref"]
        needs += [f"{model.at}/{key}" for key in counts if key not in model.spec]
    if needs or model is None or not isinstance(worn_here, Earphones):
        return NoEar(link, pack, tuple(needs))
    limiter_db = 0.0 if limiter.value == "none" else float(limiter.value)
    ceiling = ceiling_db_spl(
        float(model.spec["max_output_dbv"]),
        limiter_db,
        float(worn_here.spec["impedance_ohm"]),
        float(worn_here.spec["sensitivity_db_spl_per_mw"]),
    )
    return Ear(link, pack, worn_here, limiter, limiter_db, ceiling, lower_settings(model, limiter_db))
