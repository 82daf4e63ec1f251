"""Documents against `schemas/`: values, and errors worded for a person."""
