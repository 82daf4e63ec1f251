"""`planlint git-setup`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


def git_setup(
    *,
    check: Annotated[
        bool, typer.Option("--check", help="Only say whether git asks planlint; exit 1 if it does not.")
    ] = False,
    remove: Annotated[bool, typer.Option("--remove", help="Undo it.")] = False,
) -> None:
    """Let git compare and merge plan files by what they say, and check the merged sum.

    git falls back to its own way silently where something is missing: --check tells.
    """
    from planlint.git.run import GitError, top
    from planlint.git.setup import checks, set_up, take_down
    from planlint.plan import Shelf

    if check and remove:
        typer.echo("planlint: use one of --check and --remove", err=True)
        raise typer.Exit(EXIT_USE)
    try:
        repository = top(Path.cwd())
        if check:
            found = checks(repository, list(Shelf(repository).plan_files()))
            for each in found:
                typer.echo(f"{'yes' if each.holds else 'NO '} {each.what if each.holds else each.says}")
            raise typer.Exit(int(not all(each.holds for each in found)))
        for line in take_down(repository) if remove else set_up(repository):
            typer.echo(line)
    except (GitError, OSError) as error:
        typer.echo(f"planlint: {error}", err=True)
        raise typer.Exit(EXIT_USE) from None
