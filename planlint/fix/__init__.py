"""Writing files: whole or not at all, and never over somebody's work."""
