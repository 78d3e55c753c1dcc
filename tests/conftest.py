"""What every test stands on."""

from __future__ import annotations

from hypothesis.internal.conjecture import providers

# Examples also come from the numbers in whatever modules happen to be loaded, so a test would meet other ones
# in other company. Only the fixed pool is drawn from, and the same test meets the same examples everywhere.
providers._get_local_constants = lambda: providers._local_constants
