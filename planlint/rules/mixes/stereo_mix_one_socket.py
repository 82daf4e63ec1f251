"""A stereo mix that is not patched to two desk outputs.

What goes wrong: one cable was free, so one cable was run. Half the mix is missing, and whoever wears it turns up.

Bad::

    plan_format: 1
    kind: plan
    mixes: {keys: {width: stereo, desk_out: [7]}}

Good::

    plan_format: 1
    kind: plan
    mixes: {keys: {width: stereo, desk_out: [7, 8]}}

Source: common practice, no source: a stereo mix is two signals.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.mixes import Mix, mixes
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.mixes_wording import concerned, lacking_mixes

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each stereo mix whose outputs are not two different ones."""
    yield from lacking_mixes(plan)
    for mix in mixes(plan):
        if mix.width is None:
            yield Unchecked((f"{mix.at}/width",), concerned(plan, mix))
        elif mix.width == "stereo" and mix.outs is None:
            yield Unchecked((f"{mix.at}/desk_out",), concerned(plan, mix))
        elif mix.width == "stereo" and mix.outs is not None and not len(mix.outs) == len(set(mix.outs)) == 2:
            yield _fault(plan, mix, mix.outs)


def _fault(plan: Plan, mix: Mix, outs: tuple[int, ...]) -> Fault:
    patched = (
        f"outs {', '.join(map(str, outs))} are" if len(outs) > 1 else f"only out {outs[0]} is" if outs else "no out is"
    )
    return Fault(
        f"{mix.at}/desk_out",
        f"mix {mix.id} is stereo and {patched} patched: it needs two different outputs. Patch left and right from the "
        "desk to both inputs of the transmitter, or make the mix mono.",
        concerned(plan, mix),
        {"mix": mix.id, "desk_outs": len(set(outs)), "needed": 2},
        key=True,
    )
