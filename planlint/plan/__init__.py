"""The typed, immutable plan, resolved from its files."""

from planlint.plan.build import build
from planlint.plan.model import Plan
from planlint.plan.resolve import Resolved, resolve
from planlint.plan.shelf import Shelf

__all__ = ["Plan", "Resolved", "Shelf", "build", "resolve"]
