"""The file itself: text, keys, values, ids."""
