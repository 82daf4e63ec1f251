"""Roots, and paths that may not leave them."""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.document import OutsideRootError, find_root, inside, load
from planlint.document.parse import MAX_BYTES


def test_root_is_the_nearest_repository(tmp_path: Path) -> None:
    (tmp_path / "repo/.git").mkdir(parents=True)
    (tmp_path / "repo/a/b").mkdir(parents=True)
    assert find_root(tmp_path / "repo/a/b", tmp_path) == (tmp_path / "repo").resolve()


def test_root_is_the_configuration_that_says_so(tmp_path: Path) -> None:
    (tmp_path / "repo/.git").mkdir(parents=True)
    (tmp_path / "repo/a/b").mkdir(parents=True)
    (tmp_path / "repo/a/.planlint.yaml").write_text("root: true  # here\n")
    assert find_root(tmp_path / "repo/a/b", tmp_path) == (tmp_path / "repo/a").resolve()
    (tmp_path / "repo/a/.planlint.yaml").write_text("fail_on: warning\n")
    assert find_root(tmp_path / "repo/a/b", tmp_path) == (tmp_path / "repo").resolve()


def test_root_falls_back_to_the_working_folder_then_the_file(tmp_path: Path) -> None:
    (tmp_path / "a/b").mkdir(parents=True)
    file = tmp_path / "a/b/plan.yaml"
    file.write_text("")
    assert find_root(file, tmp_path / "a") == (tmp_path / "a").resolve()
    (tmp_path / "else").mkdir()
    assert find_root(file, tmp_path / "else") == (tmp_path / "a/b").resolve()


def test_paths_may_not_leave_the_root(tmp_path: Path) -> None:
    root = (tmp_path / "root").resolve()
    root.mkdir()
    outside = tmp_path / "secret.yaml"
    outside.write_text("a: 1\n")
    (root / "link.yaml").symlink_to(outside)
    (root / "x.yaml").write_text("a: 1\n")
    assert inside(root, root / "x.yaml") == "x.yaml"
    with pytest.raises(OutsideRootError, match="lies outside"):
        inside(root, root / "../secret.yaml")
    with pytest.raises(OutsideRootError, match="link that leads out"):
        inside(root, root / "link.yaml")


def test_a_file_too_large_or_unreadable_is_a_trouble_not_an_error(tmp_path: Path) -> None:
    (tmp_path / "big.yaml").write_bytes(b"#" * (MAX_BYTES + 1))
    (tmp_path / "full.yaml").write_bytes(b"a: 1\n" + b"#" * (MAX_BYTES - 5))
    assert [trouble.rule for trouble in load(tmp_path, "big.yaml").troubles] == ["yaml-refused"]
    assert load(tmp_path, "full.yaml").troubles == ()
    (tmp_path / "folder.yaml").mkdir()
    for name in ("gone.yaml", "folder.yaml"):
        document = load(tmp_path, name)
        assert document.fatal
        assert [trouble.rule for trouble in document.troubles] == ["yaml-broken"]
