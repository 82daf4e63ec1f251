"""One rule's page, as `planlint explain` prints it."""

from __future__ import annotations

from planlint.output.rule_table import severity
from planlint.rules.base import NoOptions
from planlint.rules.registry import Loaded


def page(loaded: Loaded) -> str:
    """Return the page: the rule's own text, then what the configuration and waivers can say about it."""
    lines = [f"{loaded.id} ({severity(loaded)})", "", loaded.page.strip(), ""]
    if loaded.rule.accept:
        worse = ", ".join(f"{name} ({direction} is worse)" for name, direction in loaded.rule.accept.items())
        lines.append(f"A waiver may bound: {worse}.")
    if not loaded.rule.waivable:
        lines.append("It cannot be waived, and always runs.")
    if loaded.options is not NoOptions:
        defaults = loaded.options()
        lines += [f"Option {name}: {getattr(defaults, name)}" for name in loaded.options.__annotations__]
    return "\n".join(lines).rstrip() + "\n"
