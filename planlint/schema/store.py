"""Where the JSON Schemas and the table of defaults are, and reading them once.

`schemas/` stands beside the package in a checkout and inside it (`_schemas`) in an installed wheel.
"""

from __future__ import annotations

import json
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from planlint.schema.kinds import KINDS, derive

Schema = dict[str, Any]


@cache
def folder() -> Path:
    """Return the folder that holds the schemas.

    Raises:
        FileNotFoundError: the installation is incomplete.
    """
    package = Path(__file__).resolve().parent.parent
    for candidate in (package / "_schemas", package.parent / "schemas"):
        if (candidate / "plan.schema.json").is_file():
            return candidate
    raise FileNotFoundError("the JSON Schemas are missing from this installation; install planlint again")


def text(name: str) -> str:
    """Return the text of the schema `name` (a kind, `findings`, `config` or `diff`)."""
    return (folder() / f"{name}.schema.json").read_text("utf-8")


def names() -> tuple[str, ...]:
    """Return the names of all schemas, the kinds of plan file first."""
    found = {path.name.removesuffix(".schema.json") for path in folder().glob("*.schema.json")}
    return (*(kind for kind in KINDS if kind in found), *sorted(found.difference(KINDS)))


@cache
def schema(name: str) -> Schema:
    """Return the schema `name`, parsed; its decimals are exact, as those of a plan are.

    The kinds of plan file are derived from the one that holds every key, which is read once.
    """
    if name in KINDS and name != "plan":
        return derive(schema("plan"), name)
    loaded: Schema = json.loads(text(name), parse_float=Decimal)  # a limit of 0.1 is met by a written 0.1
    return loaded


@cache
def defaults() -> Schema:
    """Return the table of defaults (`schemas/defaults.json`)."""
    loaded: Schema = json.loads((folder() / "defaults.json").read_text("utf-8"))
    return loaded
