"""Running planlint as its users do: a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

CLEAN_ENV = {key: value for key, value in os.environ.items() if key not in {"NO_COLOR", "PYTHONHASHSEED"}}


def planlint(*words: str | Path, cwd: Path, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "planlint", *map(str, words)],
        cwd=cwd,
        env={**CLEAN_ENV, **(env or {})},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
