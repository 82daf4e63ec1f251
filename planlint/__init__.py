"""planlint: an open plan-file format for a touring crew's wireless, and a linter that does the sums."""

__version__ = "0.1.0"
