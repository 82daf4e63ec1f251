"""`planlint check`."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planlint.cli import EXIT_USE

if TYPE_CHECKING:
    from planlint.engine import Report
    from planlint.engine.worklist import Worklist
    from planlint.finding import Severity


class Format(StrEnum):
    """Output formats."""

    TEXT = "text"
    JSON = "json"


class FailOn(StrEnum):
    """The least severity that makes the exit code 1."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


def check(
    paths: Annotated[list[Path] | None, typer.Argument(help="Files and folders; the working folder if none.")] = None,
    output: Annotated[Format, typer.Option("--format", help="How to print the findings.")] = Format.TEXT,
    fail_on: Annotated[
        FailOn | None, typer.Option("--fail-on", help="Exit 1 at this severity or above (default: error).")
    ] = None,
    root: Annotated[
        Path | None, typer.Option(help="The folder that no path may leave (default: the nearest repository).")
    ] = None,
    minutes: Annotated[
        float | None, typer.Option(min=0, max=1440, help="How long there is: print what fits, in order, what to leave.")
    ] = None,
    hands: Annotated[int | None, typer.Option(min=1, max=99, help="How many people; with --minutes.")] = None,
) -> None:
    """Check plan files and every plan that uses them.

    Exit code 0: nothing at or above --fail-on. 1: something. 2: wrong use, or a file that gives no document.
    3: a fault of planlint itself.
    """
    from planlint.config import ConfigError, read_config
    from planlint.document import find_root
    from planlint.engine import NothingToCheckError
    from planlint.engine import check as run

    named = paths or [Path()]
    try:
        top = root.resolve() if root else find_root(named[0], Path.cwd())
        if not top.is_dir():
            raise NothingToCheckError(f"{root} is no folder: --root names the folder that holds the plans")
        config = read_config(top)
        report = run(top, named, config)
        work = _work(report, minutes, hands)
    except (NothingToCheckError, ConfigError) as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None
    least: Severity = fail_on.value if fail_on else config.fail_on
    _write(_render(report, work, top, output))
    raise typer.Exit(report.exit_code(least))


def _work(report: Report, minutes: float | None, hands: int | None) -> Worklist | None:
    from planlint.engine import NothingToCheckError

    if minutes is None:
        if hands is not None:
            raise NothingToCheckError("--hands says how many people there are for the --minutes: write both")
        return None
    from planlint.engine.worklist import worklist

    if len({(head.title, head.date) for head in report.heads}) > 1:
        files = ", ".join(head.file for head in report.heads)
        raise NothingToCheckError(f"--minutes is about one show; name one of {files}")
    return worklist(report, minutes, hands or 1)


def _render(report: Report, work: Worklist | None, root: Path, output: Format) -> str:
    if output is Format.JSON:
        from planlint.output import as_json

        return as_json.render(report, work)
    from planlint.cli.lines import Lines
    from planlint.output.paint import Paint, wanted

    if work is not None:
        from planlint.output import worklist

        return worklist.render(report, work, Paint(on=wanted(sys.stdout)))
    from planlint.output import as_text

    return as_text.render(report, Lines(root), Paint(on=wanted(sys.stdout)))


def _write(text: str) -> None:
    """Write UTF-8 with plain newlines, whatever the locale, so that the bytes are the same everywhere."""
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()
