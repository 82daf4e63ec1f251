"""The tree is the registry: one file per rule below this folder, named after the rule."""

from __future__ import annotations

import importlib
import os
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from planlint.finding import Fault, Unchecked
from planlint.rules.base import NoOptions, Rule

Check = Callable[..., Iterator[Fault | Unchecked]]


class Loaded(NamedTuple):
    """A rule with its id, its subject (folder), its page and its code."""

    id: str
    subject: str
    rule: Rule
    page: str
    check: Check
    options: Any
    module: str


@cache
def all_rules() -> tuple[Loaded, ...]:
    """Import every rule file and return the rules in order of subject and id."""
    found = []
    for subject, stem in _files():
        name = f"planlint.rules.{subject}.{stem}"
        module = importlib.import_module(name)
        found.append(
            Loaded(
                id=stem.replace("_", "-"),
                subject=subject,
                rule=module.RULE,
                page=module.__doc__ or "",
                check=lambda *words, module=module: module.check(*words),
                options=getattr(module, "Options", NoOptions),
                module=name,
            )
        )
    return tuple(found)


@cache
def by_id() -> dict[str, Loaded]:
    """Return the rules by id."""
    return {loaded.id: loaded for loaded in all_rules()}


def _files() -> list[tuple[str, str]]:
    folder = Path(__file__).parent
    return sorted(
        (entry.name, file.name.removesuffix(".py"))
        for entry in os.scandir(folder)
        if entry.is_dir() and not entry.name.startswith("_")
        for file in os.scandir(entry.path)
        if file.name.endswith(".py") and not file.name.startswith("_")
    )
