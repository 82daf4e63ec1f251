"""Acts, stages, slots."""
