"""Three transmitters make a fifth-order product on another carrier.

What goes wrong: wherever 2A + B = 2C + D or 3A = B + C + D holds within the limit, a product of the others
falls on each of these carriers. Such products are weak and many: worth the trouble only where carriers are
many and levels high, so the rule is off until the policy gives `intermod_khz.three_signal_fifth` a limit.

Bad::

    plan_format: 1
    kind: plan
    policy: {intermod_khz: {three_signal_fifth: 50}}
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
      drums: {kind: ear, carrier_mhz: 504.000}
      keys: {kind: ear, carrier_mhz: 508.725}

Good::

    plan_format: 1
    kind: plan
    policy: {intermod_khz: {three_signal_fifth: 50}}
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
      drums: {kind: ear, carrier_mhz: 507.575}

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
    severity="note",
    group="margin",
    source="Babcock 1953; limit: common practice, no source",
    accept=ACCEPT,
    switch="intermod_khz.three_signal_fifth",
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each relation 2A + B = 2C + D or 3A = B + C + D within its limit."""
    yield from judge(plan, facts, "three_signal_fifth")
