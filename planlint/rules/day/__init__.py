"""Cells, day and people."""
