"""Antennas, combiners and splitters."""
