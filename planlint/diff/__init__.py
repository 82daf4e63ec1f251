"""What differs between two plans, by identity and never by position; what must be touched, and what it brings."""

from planlint.diff.apply import apply, to_json_patch
from planlint.diff.change import Change, Consequence
from planlint.diff.compare import diff
from planlint.diff.tree import canonical

__all__ = ["Change", "Consequence", "apply", "canonical", "diff", "to_json_patch"]
