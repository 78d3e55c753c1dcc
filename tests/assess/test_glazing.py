"""How the glazing moves: the arithmetic of expansion and bow, against published rules and plate theory."""

from __future__ import annotations

from pytest import approx

from fakes.walls import walled
from noonwall.assess.glazing import inner_sheet, sheet_moves


def moves(coldest_c: float, hottest_c: float, across_k: float = 20.0, **glazing: object):
    plain = walled()
    changed = plain.wall.glazing.model_copy(update=glazing)
    found = sheet_moves(walled({"glazing": changed}), coldest_c, hottest_c, across_k)
    assert found is not None
    return found


def test_growth_is_that_of_the_coefficient() -> None:
    # Witness: 2.4 m of polycarbonate, -35 to +45 C, 7.0e-5 /K as makers print: 13.4 mm, by hand.
    assert 1000.0 * moves(-35.0, 45.0).grows_m == approx(13.44, abs=0.05)
    # Witness: European sheet association, 0.065 mm/mK: 12.5 mm; ours is on the generous side by 8 %.
    assert 1000.0 * moves(-35.0, 45.0).grows_m == approx(12.5, rel=0.08)
    # Witness: association's rule, 3 mm for each metre for 50 K (that is 6.0e-5 /K): ours asks for no less.
    assert moves(0.0, 50.0).grows_m >= 0.003 * 2.4


def test_what_is_left_at_the_ends_adds_up_to_the_growth() -> None:
    found = moves(-25.0, 75.0)
    for day in found.days:
        assert 2.0 * (day.end_gap_m + day.end_bite_m) == approx(found.grows_m)
        assert 2.0 * (day.side_gap_m + day.side_bite_m) == approx(found.grows_wide_m)
    gaps = [day.end_gap_m for day in found.days]
    assert gaps == sorted(gaps, reverse=True)  # a warm day leaves less to grow


def test_a_hole_at_the_end_lets_the_end_move_both_ways() -> None:
    # By hand: fixed at the middle, half of 2.4 m moves 1.2 x 7e-5 x 75 = 6.3 mm up to the hottest hour from 0 C, and
    # 1.2 x 7e-5 x 25 = 2.1 mm down to the coldest: the hole must be 2 x 6.3 mm wider.
    day = next(d for d in moves(-25.0, 75.0).days if d.sheet_c == 0.0)
    assert 1000.0 * day.hole_m == approx(12.6, abs=0.05)


def test_bow_is_that_of_a_plate_with_a_warm_side() -> None:
    # Witness: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, art. 14: free plate, L^2 alpha dT / (8 t);
    # by hand 2.4^2 x 7e-5 x 20 / (8 x 0.010) = 100.8 mm, across 1.22 m 26.0 mm.
    found = moves(-25.0, 75.0, across_k=20.0)
    assert 1000.0 * found.free_bow_m == approx(100.8, abs=0.2)
    assert 1000.0 * found.free_bow_wide_m == approx(26.05, abs=0.1)


def test_a_sheet_set_tight_stands_out_as_a_flat_arc() -> None:
    # By hand: 2.4 m set at 20 C, at 75 C 9.24 mm too long: rise = sqrt(3 x 2.4 x 0.00924 / 8) = 91.2 mm.
    assert 1000.0 * moves(-25.0, 75.0).tight_bow_m == approx(91.2, abs=0.2)
    assert moves(-25.0, 20.0).tight_bow_m == 0.0


def test_the_innermost_sheet_is_the_one_that_is_followed() -> None:
    one = inner_sheet(walled())
    assert (one.first_skin, one.last_skin) == (0, 1)
    assert one.thickness_m == approx(0.010)
    glass = walled().wall.glazing.model_copy(update={"kind": "float glass 4 mm", "sheets": 2})
    two = inner_sheet(walled({"glazing": glass}))
    assert (two.first_skin, two.last_skin) == (1, 1)
    assert two.thickness_m == approx(0.004)
    # Witness: window glass 9e-6 /K (from memory): 2.4 m over 60 K: 1.3 mm
    found = sheet_moves(walled({"glazing": glass}), -20.0, 40.0, 0.0)
    assert found is not None
    assert 1000.0 * found.grows_m == approx(1.3, abs=0.05)


def test_own_skins_tell_no_expansion() -> None:
    from noonwall.model.glazing import OwnSkin

    skin = OwnSkin(thickness=0.004, refractive_index=1.5, extinction=10.0)
    own = walled().wall.glazing.model_copy(update={"kind": "own", "skins": (skin,)})
    assert sheet_moves(walled({"glazing": own}), -20.0, 60.0, 0.0) is None
