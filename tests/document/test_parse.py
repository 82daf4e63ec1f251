"""The YAML subset: positions, and everything it refuses. Expected positions are counted by hand."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.document import Document, Mapping, Node, Scalar, Sequence, Span, locate, parse
from planlint.document.files import from_bytes


def first_trouble(document: Document) -> tuple[str, int, int, str]:
    trouble = document.troubles[0]
    return trouble.rule, trouble.span.line, trouble.span.column, trouble.values.get("what", "")


def test_scalars_keep_text_and_exact_range() -> None:
    document = parse('a: 505.300\nb: {c: "x y", d: 010}\n', "f")
    assert isinstance(document.root, Mapping)
    assert locate(document.root, "/a") == (Span(1, 4, 1, 11), "/a")
    assert locate(document.root, "/b/c") == (Span(2, 8, 2, 13), "/b/c")
    node = document.root.entries["b"].value
    assert isinstance(node, Mapping)
    value = node.entries["d"].value
    assert isinstance(value, Scalar)
    assert (value.text, value.style) == ("010", "plain")


def test_columns_count_code_points_not_bytes() -> None:
    document = parse("é: {😀: 1, z: x}\n", "f")
    assert document.root is not None
    assert locate(document.root, "/é/z")[0] == Span(1, 14, 1, 15)


def test_a_collection_is_shown_at_its_key_and_what_is_missing_at_its_owner() -> None:
    document = parse("a:\n  b:\n    - 1\n    - 2\n\n\nc: 1\n", "f")
    assert document.root is not None
    assert locate(document.root, "/a/b")[0] == Span(2, 3, 2, 4)
    assert locate(document.root, "/a/nope/deeper") == (Span(1, 1, 1, 2), "/a")
    entry = document.root.entries["a"]
    assert entry.value.span.end_line == 4, "trimmed: no trailing blank lines"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x 1\n", ("aliases-used", 1, 4, "the anchor &x")),
        ("a: {<<: {b: 1}}\n", ("aliases-used", 1, 5, "the merge key <<")),
        ("a: !!str 12\n", ("yaml-refused", 1, 4, "the tag tag:yaml.org,2002:str")),
        ("a: !thing {}\n", ("yaml-refused", 1, 4, "the tag !thing")),
        ("a: 1\n---\nb: 2\n", ("yaml-refused", 2, 1, "several documents in one file")),
        ("a: .nan\n", ("yaml-refused", 1, 4, ".nan, which is no quantity")),
        ("a: -.inf\n", ("yaml-refused", 1, 4, "-.inf, which is no quantity")),
        ("? [x]\n: y\n", ("yaml-refused", 1, 3, "a key that is itself a map or a list")),
        ("a:\n\tb: 1\n", ("yaml-refused", 2, 1, "a tab as indentation")),
        ("a: [1,\n\t2]\n", ("yaml-refused", 2, 1, "a tab as indentation")),
        ("a: 1\x85b: 2\n", ("yaml-refused", 1, 5, "a line break that editors do not count (U+0085, U+2028 or U+2029)")),
        ("a: " + "[" * 40 + "]" * 40 + "\n", ("yaml-refused", 1, 35, "nesting deeper than 32")),
    ],
)
def test_refused(text: str, expected: tuple[str, int, int, str]) -> None:
    assert first_trouble(parse(text, "f")) == expected


def test_aliases_are_never_expanded() -> None:
    bomb = "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 30))
    document = parse(bomb, "f")
    assert len(document.troubles) == 30 + 29 * 9
    assert {trouble.rule for trouble in document.troubles} == {"aliases-used"}


def test_a_key_twice_keeps_the_first_and_names_both_places() -> None:
    document = parse("a: 1\nb: 2\na: 3\n", "f")
    assert document.root is not None
    kept = document.root.entries["a"].value
    assert isinstance(kept, Scalar)
    assert kept.text == "1"
    trouble = document.troubles[0]
    assert (trouble.rule, trouble.span, trouble.related[0][0]) == ("key-twice", Span(3, 1, 3, 2), Span(1, 1, 1, 2))


def test_tabs_inside_text_are_no_indentation() -> None:
    assert parse("a: |\n  x\n  \ty\nb: 'q\n\tr'\n", "f").troubles == ()


@pytest.mark.parametrize("text", ["a: [1, 2\n", "a: 'x\n", "a: b: c\n", "%YAML 9.9 x\n---\n", "a: \x01\n", "[" * 2000])
def test_broken_text_gives_one_fatal_trouble(text: str) -> None:
    document = parse(text, "f")
    assert document.fatal
    assert document.root is None
    assert [trouble.rule for trouble in document.troubles] in (["yaml-broken"], ["yaml-refused"])


def test_bytes_that_are_no_utf8_are_placed() -> None:
    document = from_bytes(b"a: 1\nb: \xff\n", "f")
    assert document.fatal
    assert first_trouble(document) == ("yaml-refused", 2, 4, "a byte that is no UTF-8 (0xff)")


def test_a_byte_order_mark_is_not_counted() -> None:
    document = from_bytes("\ufeffa: 1\r\nb: 2\r\n".encode(), "f")
    assert document.root is not None
    assert locate(document.root, "/a")[0] == Span(1, 4, 1, 5)
    assert locate(document.root, "/b")[0] == Span(2, 4, 2, 5)


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(st.text(alphabet=st.sampled_from("ab1:-{}[],&*!|>'\"#\n \t?%.é😀"), max_size=60))
def test_never_raises_and_positions_lie_in_the_text(text: str) -> None:
    document = parse(text, "f")
    lines = text.split("\n")
    for trouble in document.troubles:
        assert 1 <= trouble.span.line <= len(lines) + 1
        assert trouble.span.column >= 1
    if document.root is not None:
        _every_scalar_slices_to_itself(document.root, lines)


def _every_scalar_slices_to_itself(node: Node, lines: list[str]) -> None:
    if isinstance(node, Mapping):
        for key, value in node.entries.values():
            _every_scalar_slices_to_itself(key, lines)
            _every_scalar_slices_to_itself(value, lines)
    elif isinstance(node, Sequence):
        for item in node.items:
            _every_scalar_slices_to_itself(item, lines)
    elif node.style == "plain" and not node.refused and node.span.line == node.span.end_line and node.text:
        span = node.span
        assert lines[span.line - 1][span.column - 1 : span.end_column - 1].rstrip().endswith(node.text)


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(
    st.recursive(
        st.text(alphabet="abcxyz019_", min_size=1, max_size=6),
        lambda inner: (
            st.lists(inner, max_size=3) | st.dictionaries(st.text("abc", min_size=1, max_size=3), inner, max_size=3)
        ),
        max_leaves=12,
    )
)
def test_reads_what_pyyaml_writes(value: object) -> None:
    """PyYAML (a general-purpose library) writes, this parser reads: same structure, same text."""
    text = yaml.safe_dump({"root": value}, default_style='"')
    document = parse(text, "f")
    assert document.root is not None
    assert _plain(document.root.entries["root"].value) == value


def _plain(node: Node) -> object:
    if isinstance(node, Mapping):
        return {key: _plain(entry.value) for key, entry in node.entries.items()}
    if isinstance(node, Sequence):
        return [_plain(item) for item in node.items]
    return node.text
