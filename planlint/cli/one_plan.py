"""What the commands that show one plan share: its path, the root, the format, and how they end where it cannot be read."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn, Protocol

import typer

from planlint.cli import EXIT_USE

if TYPE_CHECKING:
    from planlint.facts import Facts


class AnswerFormat(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"


PlanFile = Annotated[Path, typer.Argument(help="A venue or plan file.")]
Output = Annotated[AnswerFormat, typer.Option("--format", help="How to print it.")]
Root = Annotated[Path | None, typer.Option(help="The folder that no path may leave (default: the nearest repository).")]


class Shows(Protocol):
    """A module of planlint.output that shows a plan's facts."""

    def as_text(self, facts: Facts, /) -> str:
        """Return text for people."""

    def as_json(self, facts: Facts, /) -> str:
        """Return a JSON document."""


def show(shows: Shows, plan: Path, root: Path | None, output: AnswerFormat) -> None:
    """Print what a module of planlint.output says of a plan, or end with exit code 2 and the reason."""
    from planlint.document import find_root
    from planlint.engine.select import NothingToCheckError
    from planlint.engine.single import open_plan

    top = root.resolve() if root else find_root(plan, Path.cwd())
    try:
        facts = open_plan(top, plan)
    except NothingToCheckError as error:
        stop(str(error))
    write(shows.as_json(facts) if output is AnswerFormat.JSON else shows.as_text(facts))


def write(text: str) -> None:
    """Write an answer, whatever the terminal's encoding."""
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()


def stop(text: str) -> NoReturn:
    """End with exit code 2 and a reason."""
    typer.echo(f"planlint: {text}", err=True)
    raise typer.Exit(EXIT_USE)
