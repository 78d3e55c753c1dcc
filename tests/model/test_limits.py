"""The catalogue of limits: each number is what its source says, each source is told."""

from __future__ import annotations

import pytest
from pytest import approx

from noonwall.model import catalogue
from noonwall.model.limits import GAP_AIR, ROOM_FACE, limits, limits_of


def value(name: str, nature: str) -> float:
    return next(limit.value_c for limit in limits_of(name) if limit.nature == nature)


def test_wood_by_its_published_sources() -> None:
    # Witness: Fire and Materials 31(2), 2007, 125-135, abstract: surfaces of 77 C (170 F) and above.
    assert value("softwood", "lasting") == 77.0
    # Witness: NDS, temperature factor: design values end at 150 F.
    assert value("plywood", "strength") == approx((150.0 - 32.0) / 1.8, abs=0.05)
    # Witness: Interflam 2001, 71-88, abstract: 250 C within minutes to hours.
    assert value("oriented strand board", "minutes") == 250.0
    woods = ("softwood", "hardwood", "plywood", "oriented strand board", "particleboard", "wood fibreboard")
    assert all(len(limits_of(wood)) == 3 for wood in woods)


def test_plastics_and_boards_by_their_published_sources() -> None:
    # Witness: installation guides of multiwall sheet: 212 F in continuous use.
    assert value("twin-wall polycarbonate 10 mm", "lasting") == approx((212.0 - 32.0) / 1.8)
    # Witness: data sheets: deflection under 1.8 MPa 128 to 138 C.
    assert value("twin-wall polycarbonate 16 mm", "softening") == 128.0
    # Witness: ASTM C578, scope: to 165 F.
    assert value("expanded polystyrene", "lasting") == approx((165.0 - 32.0) / 1.8, abs=0.05)
    # Witness: US mechanical codes: gypsum board to 125 F.
    assert value("gypsum board", "lasting") == approx((125.0 - 32.0) / 1.8, abs=0.05)
    # Witness: ASTM C1289, scope: to 200 F; ASTM C1029, scope: to 225 F; ASTM D312, type III: 185 to 205 F.
    assert value("polyisocyanurate", "lasting") == approx((200.0 - 32.0) / 1.8, abs=0.05)
    assert value("polyurethane foam", "lasting") == approx((225.0 - 32.0) / 1.8, abs=0.05)
    assert value("asphalt shingles", "softening") == approx((185.0 - 32.0) / 1.8, abs=0.05)
    # Witness: data sheets of extruded acrylic sheet: 70 C recommended in continuous use, 95 C by ISO 75.
    assert value("acrylic 3 mm", "lasting") == 70.0
    assert value("acrylic 3 mm", "softening") == 95.0
    # Witness: a resin maker's trade article: most PVC products 60 to 65 C; a material data page: 67 C at 1.8 MPa.
    assert value("rigid PVC", "lasting") == 60.0
    assert value("rigid PVC", "softening") == 67.0


def test_every_limit_names_things_that_are_there_and_who_says_so() -> None:
    known = {*catalogue.names("material"), *catalogue.names("glazing"), GAP_AIR, ROOM_FACE}
    for limit in limits():
        assert set(limit.of) <= known, limit.name
        assert len(limit.source) > 15
        assert len(limit.told) > 20
        assert limit.published == (limit.seen == "quoted")
        if limit.seen == "memory":
            assert "from memory" in limit.source


@pytest.mark.parametrize("shelf", ["material", "glazing"])
def test_everything_with_a_service_limit_has_one_here(shelf: str) -> None:
    for name in catalogue.names(shelf):
        spec = catalogue.material(name) if shelf == "material" else catalogue.glazing(name)
        if spec.service_limit_c is not None:
            assert limits_of(name), name
            assert min(x.value_c for x in limits_of(name)) == approx(spec.service_limit_c, abs=0.5)


def test_limits_come_lowest_first_and_unknown_stuff_has_none() -> None:
    values = [limit.value_c for limit in limits_of("softwood")]
    assert values == sorted(values)
    assert limits_of("brick") == ()
