"""Weather years: readers, made years, checks."""
