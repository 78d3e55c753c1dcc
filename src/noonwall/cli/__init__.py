"""The commands a builder types: they read words, call a room below, print, and leave with 0, 1 or 2."""
