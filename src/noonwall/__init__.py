"""noonwall: what a sun-heated workshop wall does, before and after it is built."""
