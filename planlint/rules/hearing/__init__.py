"""Gain, limiter, hearing."""
