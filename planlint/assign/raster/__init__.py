"""Carriers as integers on a raster: how many fit, which, and the smallest repair; knows no plan and no file."""
