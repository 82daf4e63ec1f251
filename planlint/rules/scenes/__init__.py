"""Scenes of a show."""
