"""The commands, one file each."""

from __future__ import annotations

from typing import Annotated

import typer

from planlint import __version__
from planlint.cli import (
    ask,
    assign,
    capacity,
    check,
    diff,
    explain,
    git_drivers,
    git_setup,
    init,
    levels,
    mark_good,
    rules,
    schema,
    weak_spots,
)

app = typer.Typer(
    help="Check a touring crew's wireless plan: the law, TV, spacing, intermodulation, both ends of every link.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    add_completion=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(*, value: bool) -> None:
    if value:
        typer.echo(f"planlint {__version__}")
        raise typer.Exit


@app.callback()
def _planlint(
    *,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    pass


app.command()(check.check)
app.command()(assign.assign)
app.command()(ask.spares)
app.command()(ask.why)
app.command()(ask.what_if)
app.command()(ask.move)
app.command()(capacity.capacity)
app.command()(diff.diff)
app.command()(init.init)
app.command()(levels.levels)
app.command()(rules.rules)
app.command()(explain.explain)
app.command()(schema.schema)
app.command()(mark_good.mark_good)
app.command()(git_setup.git_setup)
for _driver in (git_drivers.git_merge_file, git_drivers.git_diff_file, git_drivers.git_text, git_drivers.git_merged):
    app.command(hidden=True)(_driver)
app.command(name="weak-spots")(weak_spots.weak_spots)
