"""Start-up is a design decision: what a clean small check may import. Names, not milliseconds, so it cannot flake."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 16, 17]}
links:
  vox:   {kind: ear, carrier_mhz: 505.300}
  gtr:   {kind: ear, carrier_mhz: 506.125}
  drums: {kind: ear, carrier_mhz: 507.575}
"""
#: Everything beyond the standard library that a clean check of a small plan loads.
ALLOWED = {"_yaml", "annotated_doc", "click", "planlint", "shellingham", "typer", "typing_extensions", "yaml"}
#: Costly parts of the standard library that have no business in it.
COSTLY = {
    "asyncio", "concurrent", "csv", "email", "http", "importlib.metadata", "importlib.resources", "logging",
    "multiprocessing", "sqlite3", "statistics", "tomllib", "unittest", "urllib.request", "xml",
}  # fmt: skip
_RUN = """
import json, sys
sys.argv = ["planlint", "check", "plan.yaml"]
from planlint.cli import main
try:
    main()
except SystemExit as stop:
    code = stop.code
sys.stderr.write(json.dumps({"code": code, "modules": sorted(sys.modules)}))
"""


def test_what_a_clean_small_check_imports(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(PLAN)
    done = subprocess.run([sys.executable, "-c", _RUN], cwd=tmp_path, capture_output=True, text=True, check=True)
    told = json.loads(done.stderr)
    assert told["code"] == 0
    modules = set(told["modules"])
    top = {name.partition(".")[0] for name in modules}
    bare = subprocess.run(
        [sys.executable, "-c", "import sys; print(*sorted(sys.modules))"], capture_output=True, text=True, check=True
    )
    before = {name.partition(".")[0] for name in bare.stdout.split()}
    compiled_in = {name for name in top if name.startswith(("_cython", "cython_runtime"))}  # of PyYAML's C parser
    assert top - before - sys.stdlib_module_names - compiled_in <= ALLOWED
    assert not COSTLY & modules, sorted(COSTLY & modules)
