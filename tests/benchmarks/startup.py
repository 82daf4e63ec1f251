"""Whole-process time and peak memory of `planlint check` beside two general-purpose tools on the same files.

    python tests/benchmarks/startup.py [FOLDER] [--runs N]

FOLDER is a small tour (default: examples/saltmarsh-spring); a copy of it is judged. check-jsonschema takes one schema
for each run, so on the same files by the same schemas it is one process per kind of file, summed; its cheapest single
process is shown too. yamllint lints all files. Runs are interleaved, so a slow moment of the machine hits all alike;
medians and their ratios are printed. One round is run before the counting, so that caches and byte code are warm.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOOLS = Path(sys.executable).parent


def commands(folder: Path) -> dict[str, list[list[str]]]:
    """The processes of each contestant; one that needs a process per schema is the sum of them."""
    files: dict[str, list[str]] = {}
    for path in sorted(folder.rglob("*.yaml")):
        match = re.search(r"^kind: (\S+)", path.read_text("utf-8"), re.MULTILINE)
        if match:
            files.setdefault(match[1], []).append(str(path))
    every = [name for names in files.values() for name in names]
    tool, schemas = str(TOOLS / "check-jsonschema"), ROOT / "schemas"
    kinds = {kind: [tool, "--schemafile", str(schemas / f"{kind}.schema.json"), *files[kind]] for kind in sorted(files)}
    smallest = min(kinds, key=lambda kind: sum(Path(name).stat().st_size for name in files[kind]))
    return {
        "planlint check": [[str(TOOLS / "planlint"), "check", str(folder)]],
        f"check-jsonschema, all {len(kinds)} kinds": list(kinds.values()),
        f"check-jsonschema, {smallest} files only": [kinds[smallest]],
        "yamllint": [[str(TOOLS / "yamllint"), "-d", "relaxed", *every]],
        "planlint --help": [[str(TOOLS / "planlint"), "--help"]],
        "python -c pass": [[sys.executable, "-c", "pass"]],
    }


def run(processes: list[list[str]]) -> tuple[float, float]:
    """Return wall seconds of all processes one after another, and the largest peak memory in MiB."""
    peak = 0.0
    start = time.perf_counter()
    for words in processes:
        child = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode not in {0, 1}:
            raise SystemExit(f"{words[0]} ended with {child.returncode}")
        peak = max(peak, usage.ru_maxrss / 1024)
    return time.perf_counter() - start, peak


def main() -> None:
    """Run the rounds and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path, nargs="?", default=ROOT / "examples/saltmarsh-spring")
    parser.add_argument("--runs", type=int, default=20)
    words = parser.parse_args()
    copy = Path(tempfile.mkdtemp()) / words.folder.name
    shutil.copytree(words.folder, copy)
    contestants = commands(copy)
    seconds: dict[str, list[float]] = {name: [] for name in contestants}
    memory: dict[str, float] = dict.fromkeys(contestants, 0.0)
    for round_number in range(words.runs + 1):
        for name, processes in contestants.items():
            took, peak = run(processes)
            if round_number:
                seconds[name].append(took)
                memory[name] = max(memory[name], peak)
    base = statistics.median(seconds["planlint check"])
    print(f"{words.runs} interleaved runs on {words.folder.name}, load average {os.getloadavg()[0]:.1f}")
    print(f"{'':<40} {'median ms':>10} {'min':>7} {'max':>7} {'MiB':>6} {'planlint/this':>14}")
    for name, times in seconds.items():
        median = statistics.median(times)
        row = f"{name:<40} {median * 1000:>10.0f} {min(times) * 1000:>7.0f} {max(times) * 1000:>7.0f}"
        print(f"{row} {memory[name]:>6.0f} {base / median:>14.2f}")


if __name__ == "__main__":
    main()
