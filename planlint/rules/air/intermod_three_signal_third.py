"""Three transmitters make a third-order product on a fourth carrier.

What goes wrong: wherever A + B = C + D holds within the limit, a product of the others falls on each of these carriers.
Nobody hears it at the desk; the pack spits when its owner walks near the other transmitters. Every such
near-coincidence is one relation and one finding, however many products it stands for. An unwritten limit is
B/4, with B the widest emission among the ids; 0 in the policy switches the rule off.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
      drums: {kind: ear, carrier_mhz: 507.575}
      keys: {kind: ear, carrier_mhz: 508.400}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
      drums: {kind: ear, carrier_mhz: 507.575}
      keys: {kind: ear, carrier_mhz: 509.800}

Source: W. C. Babcock, Bell System Technical Journal 32 (1953), for the equations; the limit is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.intermod_wording import ACCEPT, judge

RULE = Rule(
    severity="warning",
    group="margin",
    source="Babcock 1953; limit: common practice, no source",
    accept=ACCEPT,
    switch="intermod_khz.three_signal_third",
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each relation A + B = C + D within its limit."""
    yield from judge(plan, facts, "three_signal_third")
