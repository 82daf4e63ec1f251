"""Cautions and licences."""
