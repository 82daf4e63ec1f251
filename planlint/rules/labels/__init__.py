"""Labels and addresses."""
