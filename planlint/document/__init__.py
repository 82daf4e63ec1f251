"""Text with positions: knows YAML and files, knows no plan."""

from planlint.document.files import OutsideRootError, find_root, inside, load, looks_like_a_plan, text_at
from planlint.document.nodes import Document, Entry, Mapping, Node, Scalar, Sequence, Span, Trouble, locate
from planlint.document.parse import parse

__all__ = [
    "Document",
    "Entry",
    "Mapping",
    "Node",
    "OutsideRootError",
    "Scalar",
    "Sequence",
    "Span",
    "Trouble",
    "find_root",
    "inside",
    "load",
    "locate",
    "looks_like_a_plan",
    "parse",
    "text_at",
]
