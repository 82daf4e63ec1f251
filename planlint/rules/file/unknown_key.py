"""A key that the format does not know: a typing error that other tools pass over in silence.

What goes wrong: `limitor_db: -12` looks like a limiter and is none. Nothing reads it.

Bad::

    plan_format: 1
    kind: plan
    show: {regoin: us}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}

Source: the plan format's JSON Schema, which is closed (`planlint schema plan`).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="schemas/plan.schema.json", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each key outside the schema."""
    for trouble in of(judged, "unknown-key"):
        near, known = trouble.get("near"), trouble.get("known")
        hint = f" Did you mean {near}?" if near else (f" Known here: {known}." if known else "")
        yield trouble.fault(
            f"'{trouble.get('key')}' is no key of {_owner(trouble.path)}.{hint} Nothing reads it.",
            fix=f"write {near}" if near else "delete it or write the key that is meant",
        )


def _owner(path: str) -> str:
    return path.rpartition(".")[0] or "this kind of file"
