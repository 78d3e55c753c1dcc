"""What the parts come to beside the sizes, in words."""

from __future__ import annotations

from noonwall.model.edit import set_values
from noonwall.model.file import from_text
from noonwall.model.templates import new_text
from noonwall.report.envelope_words import fit_words, sizes_words
from noonwall.report.reader import Reader

US = Reader("us")


def test_both_figures_and_the_roofs_pitch_are_told():
    project = from_text(set_values(new_text(system="us"), {"shop.eaves": "10 ft"}))
    upright, roof = sizes_words(project, US)
    assert "1113 ft2" in upright
    assert "1228 ft2 with gables of 108 ft2" in upright
    assert roof.endswith("over a floor of 768 ft2, a pitch of 4 1/2 in 12.")
    assert fit_words(project, US) == "walls 900 ft2 to 1015 ft2"


def test_nothing_is_offered_where_it_fits_or_cannot_be_done():
    assert fit_words(from_text(new_text()), US) == ""
    assert fit_words(from_text(set_values(new_text(), {"shop.part[3].area": "300 m2"})), US) == ""
