"""`planlint schema`."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from planlint.cli import EXIT_USE


def schema(
    kind: Annotated[
        str | None, typer.Argument(help="A kind of file, or findings, config; all are listed if none.")
    ] = None,
) -> None:
    """Print the JSON Schema of a kind of file, for editors and other tools."""
    from planlint.schema import store
    from planlint.schema.describe import nearest

    names = store.names()
    if kind is None:
        typer.echo("\n".join(names))
        return
    if kind not in names:
        near = nearest(kind, names)
        hint = f"; did you mean {near}?" if near else f": there are {', '.join(names)}"
        typer.echo(f"planlint: no schema is called '{kind}'{hint}", err=True)
        raise typer.Exit(EXIT_USE)
    sys.stdout.buffer.write(store.text(kind).encode())
