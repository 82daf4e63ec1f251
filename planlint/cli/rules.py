"""`planlint rules`."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import Annotated

import typer


class RulesFormat(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"
    MARKDOWN = "markdown"


def rules(
    output: Annotated[RulesFormat, typer.Option("--format", help="How to print the table.")] = RulesFormat.TEXT,
) -> None:
    """List every rule with its severity and what it is about."""
    from planlint.output import rule_table
    from planlint.rules.registry import all_rules

    render = {
        RulesFormat.TEXT: rule_table.text,
        RulesFormat.JSON: rule_table.json_text,
        RulesFormat.MARKDOWN: rule_table.markdown,
    }[output]
    sys.stdout.buffer.write(render(all_rules()).encode())
