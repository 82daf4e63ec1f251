"""Backups and spares."""
