"""Power and range."""
