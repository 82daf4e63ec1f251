"""From venue to venue."""
