"""Both ends of a link."""
