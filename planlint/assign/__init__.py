"""Carriers that work: what a link may take, what clashes, and the smallest repair; knows no files."""
