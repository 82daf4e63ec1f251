"""`planlint explain`."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


def explain(rule: Annotated[str, typer.Argument(help="A rule's id, as `planlint rules` lists it.")]) -> None:
    """Explain a rule: what goes wrong, a bad and a good plan, what a waiver may bound, and the source."""
    from planlint.output.rule_page import page
    from planlint.rules.registry import by_id
    from planlint.schema.describe import nearest

    known = by_id()
    if rule not in known:
        near = nearest(rule, known)
        hint = f"; did you mean {near}?" if near else "; planlint rules lists them"
        typer.echo(f"planlint: no rule is called '{rule}'{hint}", err=True)
        raise typer.Exit(EXIT_USE)
    sys.stdout.buffer.write(page(known[rule]).encode())
