"""Spectrum and regulation."""
