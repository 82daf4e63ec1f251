"""Files in, findings out."""

from planlint.engine.check import check
from planlint.engine.report import Report
from planlint.engine.select import NothingToCheckError

__all__ = ["NothingToCheckError", "Report", "check"]
