"""Values to text: one file per format; decides nothing."""
