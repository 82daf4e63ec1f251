"""Spacing and intermodulation."""
