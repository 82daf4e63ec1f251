"""Waivers."""
