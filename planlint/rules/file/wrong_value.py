"""A value that its key cannot have.

What goes wrong: a word where a number belongs, a word that is not one of the few allowed, nothing at all
(`null` is never a value), a list where one thing is meant. It counts as unwritten, so nothing is checked by it.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: eer, carrier_mhz: 505.300}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}

Source: the plan format's JSON Schema (`planlint schema plan`).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import Spotted, of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="schemas/plan.schema.json", waivable=False, on="file")

#: What people write for "switched off" where the format says `none`.
_NOTHING = frozenset({"off", "no", "false", "never"})


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each value that the schema does not allow."""
    for trouble in of(judged, "wrong-value"):
        yield _word(trouble)


def _word(trouble: Spotted) -> Fault:
    found, wants, near = trouble.get("found"), trouble.get("wants"), trouble.get("near")
    if found == "nothing":
        return trouble.fault(
            f"{trouble.path}: nothing is written here (null is never a value). Write {wants}, or delete the key.",
            fix="write the value or delete the key",
        )
    hint = ""
    if "none" in wants.split() and found.casefold() in _NOTHING:
        near = "none"
    if near:
        hint = f" Write {near}." if near == "none" else f" Did you mean {near}?"
    elif trouble.get("text") and _numeric(found):
        hint = " It is in quotes: take them off."
    elif trouble.get("text") and "," in found:
        hint = " Write a decimal point, not a comma."
    shown = found if found in {"a list", "a map"} else repr(found)
    return trouble.fault(
        f"{trouble.path}: {shown} is not {wants}.{hint} It counts as unwritten.", fix=f"write {near or wants}"
    )


def _numeric(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
