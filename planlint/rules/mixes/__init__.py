"""Mixes and patching."""
