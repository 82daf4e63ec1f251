"""Plans in git: as of a revision, their semantic difference and merge, and the last good state."""
