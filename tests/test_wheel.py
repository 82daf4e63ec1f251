"""The built wheel carries its schemas, regions and starters, and works without the checkout beside it."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.slow
def test_the_wheel_stands_alone(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path / "dist"), str(ROOT)]
    done = subprocess.run(build, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "site")
        names = set(archive.namelist())
    assert {
        "planlint/_schemas/plan.schema.json",
        "planlint/_schemas/defaults.json",
        "planlint/regions/us.yaml",
    } <= names
    env = {**os.environ, "PYTHONPATH": str(tmp_path / "site"), "PYTHONSAFEPATH": "1"}

    def run(*words: str) -> str:
        command = [sys.executable, "-m", "planlint", *words]
        found = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, check=False)
        assert found.returncode == 0, found.stdout + found.stderr
        return found.stdout

    where = [sys.executable, "-c", "import planlint; print(planlint.__file__)"]
    used = subprocess.run(where, cwd=tmp_path, env=env, capture_output=True, text=True, check=True).stdout
    assert Path(used.strip()).is_relative_to(tmp_path), "the checkout was imported instead of the wheel"
    assert run("schema", "plan") == (ROOT / "schemas/plan.schema.json").read_text("utf-8")
    run("init", "new", "--tour")
    assert "0 errors" in run("check", "new")
