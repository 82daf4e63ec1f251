"""`planlint diff`."""

from __future__ import annotations

import sys
from contextlib import ExitStack
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planlint.cli import EXIT_USE

if TYPE_CHECKING:
    from planlint.diff.result import Difference


class DiffFormat(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"
    MARKDOWN = "markdown"


class DiffFailOn(StrEnum):
    """What makes the exit code 1 in place of any difference."""

    RISK = "risk"


def diff(
    sides: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[OLD] NEW", help="Plan files: a path, or REV:path in git. OLD may be an as-set record.",
            show_default=False,
        ),
    ] = None,
    *,
    previous: Annotated[
        bool, typer.Option("--previous", help="Compare with the tour's show before NEW, by date; only NEW is named.")
    ] = False,
    since_good: Annotated[
        bool, typer.Option("--since-good", help="Compare with the state that mark-good recorded; only NEW is named.")
    ] = False,
    output: Annotated[DiffFormat, typer.Option("--format", help="How to print the difference.")] = DiffFormat.TEXT,
    fail_on: Annotated[
        DiffFailOn | None,
        typer.Option("--fail-on", help="Exit 1 only for this: a new error, or a safety number that got worse."),
    ] = None,
    root: Annotated[
        Path | None, typer.Option(help="The folder that no path may leave (default: the nearest repository).")
    ] = None,
) -> None:  # fmt: skip
    """Compare two plans: what changed, which units must be touched, and what it brings.

    Exit code 0: no difference, or with --fail-on nothing of that kind. 1: there is. 2: wrong use, or a side that
    gives no plan. 3: a fault of planlint itself.
    """
    from planlint.cli.diff_sides import OpenError, open_sides
    from planlint.config import ConfigError, read_config
    from planlint.engine import NothingToCheckError
    from planlint.engine.difference import CannotCompareError, difference

    with ExitStack() as stack:
        try:
            old, new = open_sides(sides or [], stack, root, previous=previous, since_good=since_good)
            found = difference(old, new, read_config(new.shelf.root))
        except (OpenError, ConfigError, CannotCompareError, NothingToCheckError) as error:
            typer.echo(f"planlint: {error}", err=True)
            raise typer.Exit(EXIT_USE) from None
        sys.stdout.buffer.write(_render(found, output).encode())
        sys.stdout.buffer.flush()
    raise typer.Exit(int(bool(found.risks) if fail_on else found.differs))


def _render(found: Difference, output: DiffFormat) -> str:
    if output is DiffFormat.JSON:
        from planlint.output import diff_json

        return diff_json.render(found)
    if output is DiffFormat.MARKDOWN:
        from planlint.output import diff_markdown

        return diff_markdown.render(found)
    from planlint.output import diff_text
    from planlint.output.paint import Paint, wanted

    return diff_text.render(found, Paint(on=wanted(sys.stdout)))
