"""Everything that must hold before a change lands: style, types, import direction, tests."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
STEPS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("lint-imports",),
    ("pytest", "-n", "auto", *sys.argv[1:]),
)


def main() -> int:
    """Run every step, whatever the ones before it said; return 1 if one failed."""
    tools = Path(sys.executable).parent
    search = os.pathsep.join([str(tools), os.environ.get("PATH", "")])
    failed = []
    for name, *words in STEPS:
        print(f"== {name} {' '.join(words)}", flush=True)
        program = tools / (f"{name}.exe" if os.name == "nt" else name)
        if subprocess.run([program, *words], cwd=ROOT, env={**os.environ, "PATH": search}, check=False).returncode:
            failed.append(name)
    print(f"failed: {', '.join(failed)}" if failed else "all passed", flush=True)
    return bool(failed)


if __name__ == "__main__":
    raise SystemExit(main())
