"""`planlint mark-good`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


def mark_good(
    plan: Annotated[Path, typer.Argument(help="The plan that passed line check.", show_default=False)],
) -> None:
    """Record in the repository that a plan's state passed line check; `diff --since-good` goes back to it.

    The state of the working folder is kept whole, with the tour, models and scans it uses, beside the branches.
    """
    from planlint.cli.diff_sides import OpenError, open_path
    from planlint.config import ConfigError, read_config
    from planlint.engine import NothingToCheckError, check
    from planlint.git.good import mark_good as mark
    from planlint.git.run import GitError

    try:
        side = open_path(plan)
        report = check(side.shelf.root, [plan], read_config(side.shelf.root))
        if report.fatal or side.resolved.kind not in {"venue", "plan"}:
            raise OpenError(f"{plan}: a venue or plan that can be judged is marked; planlint check says what is wrong")
        reference = mark(plan, side.shelf, side.plan())
    except (OpenError, ConfigError, NothingToCheckError, GitError, OSError) as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None
    counts = report.counts
    typer.echo(f"{plan}: marked good ({reference}), with {counts.error} errors and {counts.warning} warnings")
    typer.echo(f"next: planlint diff --since-good {plan}")
