"""Rosters and duties."""
