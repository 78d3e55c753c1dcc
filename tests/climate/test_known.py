"""Places by name."""

from __future__ import annotations

from noonwall.climate.known import known, site_values
from noonwall.climate.places import nearest
from noonwall.model.edit import set_values
from noonwall.model.file import from_text
from noonwall.model.templates import new_text


def test_a_town_fills_in_where_the_site_is() -> None:
    name = next(name for name in known() if name.startswith("Caribou") and name.endswith(", Maine"))
    for system in ("metric", "us"):
        site = from_text(set_values(new_text(), site_values(name, system))).site
        # Caribou, Maine: 46.87 N, 68.02 W, about 190 m (US Geological Survey, Geographic Names: from memory)
        assert (round(site.latitude_deg), round(site.longitude_deg)) == (47, -68)
        assert abs(site.elevation_m - 190.0) < 15.0
        assert nearest(site)[0].name == known()[name].name


def test_every_place_can_be_chosen() -> None:
    text = new_text()
    for name in known():
        from_text(set_values(text, site_values(name, "us")))
