"""A builder's quantities and SI: reads "8 ft 3 in", "110 degF", "R-19"; shows SI, and dates, as the reader says them.

Every factor stands in one table here; nothing is guessed from the size of a number. A quantity without a unit
is SI in the unit that ``SI_UNIT`` names for its kind. Temperatures and temperature differences are two kinds:
50 degF is 10 °C, a difference of 50 degF is 27.8 K.

Source  factors: NIST SP 811 (2008), appendix B; British thermal unit of the International Table;
        water and mercury columns conventional. "R-19" is hour square foot degree Fahrenheit per Btu.
"""

from __future__ import annotations

from noonwall.units.both import in_both
from noonwall.units.dates import MONTHS, clock_words, dates_in, day_words, moments_in
from noonwall.units.read import US_UNIT, examples, own_examples, parse, quoted
from noonwall.units.shown import Show, by_tape, in_feet, in_inches, in_reader_units, show, significant
from noonwall.units.table import KINDS, SI_UNIT, UNITS, Kind, System

__all__ = [
    "KINDS", "MONTHS", "SI_UNIT", "UNITS", "US_UNIT", "Kind", "Show", "System", "by_tape", "clock_words", "dates_in",
    "day_words", "examples", "in_both", "in_feet", "in_inches", "in_reader_units", "moments_in", "own_examples",
    "parse", "quoted", "show", "significant",
]  # fmt: skip
