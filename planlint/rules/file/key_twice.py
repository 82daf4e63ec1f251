"""The same key twice in one map: plain loaders keep the last one without a word.

What goes wrong: a pack is defined on line 71 and again on line 88; which of them counts depends on the tool.
Here the first counts and the second is reported. The same holds for a model that two files define.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      vox: {kind: ear, carrier_mhz: 506.125}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}

Source: YAML 1.2.2 (yaml.org/spec/1.2.2), section 3.2.1.1: the keys of a mapping are unique.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="YAML 1.2.2 section 3.2.1.1", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each repeated key."""
    for trouble in of(judged, "key-twice"):
        first = trouble.get("first_file") or f"line {trouble.get('first_line')}"
        yield trouble.fault(
            f"'{trouble.get('key')}' is already written ({first}); this second one is not read. Other tools keep the "
            "last one: give each its own id, or delete one.",
            fix="delete one of the two, or rename it",
        )
