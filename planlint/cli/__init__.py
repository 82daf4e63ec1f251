"""The door: words to calls to bytes. Heavy imports stand inside the commands."""

from __future__ import annotations

import sys

EXIT_USE = 2
EXIT_FAULT = 3


def main() -> None:
    """Run the command line; a fault of planlint itself is one line and exit code 3, never a traceback."""
    from planlint.cli.app import app

    try:
        app(prog_name="planlint")
    except BrokenPipeError:
        sys.stderr.close()
        raise SystemExit(0) from None
    except Exception as error:
        where = _where(error)
        print(  # noqa: T201
            f"planlint: a fault of planlint itself, not of your files: {type(error).__name__}: {error} ({where}). "
            "Nothing was written. Please report it with the file that brought it about.",
            file=sys.stderr,
        )
        raise SystemExit(EXIT_FAULT) from None


def _where(error: BaseException) -> str:
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return "place unknown"
    name = trace.tb_frame.f_globals.get("__name__", "?")
    return f"{name}:{trace.tb_lineno}"
