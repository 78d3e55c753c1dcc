"""Glazing optics against Fresnel by hand, pvlib's independent code and ray counting."""

from __future__ import annotations

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.physics import optics as o

GLASS = o.OpticalSkin(0.001, 1.526, 0.0)
RAD = np.radians


def lossless(count: int, index: float = 1.526) -> list[o.OpticalSkin]:
    return [o.OpticalSkin(0.001, index, 0.0)] * count


def test_normal_reflectance() -> None:
    # Witness: Fresnel, Duffie & Beckman example 5.1.1 (from memory): 0.0434 per surface
    assert [float(r) for r in o.surface_reflectance(1.526, 0.0)] == approx([0.0434, 0.0434], abs=1e-4)


def test_oblique_reflectance() -> None:
    # Witness: Duffie & Beckman example 5.1.1 (from memory): 34.58°, 0.185, 0.001, mean 0.093
    assert float(np.degrees(o.refraction_angle_rad(1.526, RAD(60)))) == approx(34.58, abs=0.005)
    across, along = (float(r) for r in o.surface_reflectance(1.526, RAD(60)))
    assert (across, along, 0.5 * (across + along)) == approx((0.18548, 0.00145, 0.09346), abs=2e-5)


@pytest.mark.parametrize(
    ("count", "normal", "sixty"), [(1, 0.917, 0.842), (2, 0.8465, 0.7588), (3, 0.786, 0.707)]
)
def test_lossless_covers(count: int, normal: float, sixty: float) -> None:
    # Witness: (1-r)/(1+(2N-1)r) averaged over polarisations; Duffie & Beckman example 5.1.2 prints .85, .76
    # for two
    stack = o.stack_optics(lossless(count), RAD([0.0, 60.0]))
    assert stack.transmittance == approx([normal, sixty], abs=1e-3)
    across, along = o.surface_reflectance(1.526, RAD([0.0, 60.0]))
    closed = 0.5 * sum((1 - r) / (1 + (2 * count - 1) * r) for r in (across, along))
    assert stack.transmittance == approx(closed, rel=1e-12)


@pytest.mark.parametrize(
    ("angle", "one", "two"),
    [
        (30, 0.9145, 0.8441),
        (40, 0.9080, 0.8372),
        (50, 0.8897, 0.8168),
        (70, 0.7236, 0.6052),
        (75, 0.6139, 0.4722),
        (80, 0.4554, 0.3096),
        (85, 0.2453, 0.1432),
    ],
)
def test_lossless_by_angle(angle: float, one: float, two: float) -> None:
    # Witness: same formula by hand
    assert float(o.stack_optics(lossless(1), RAD(angle)).transmittance) == approx(one, abs=1e-4)
    assert float(o.stack_optics(lossless(2), RAD(angle)).transmittance) == approx(two, abs=1e-4)


@pytest.mark.parametrize(
    ("angle", "one", "two"), [(0, 0.8835, 0.7856), (60, 0.8041, 0.6903), (80, 0.4269, 0.2667)]
)
def test_absorbing_covers(angle: float, one: float, two: float) -> None:
    # Witness: exact ray trace with polarisation, K L = 0.0370
    skin = o.OpticalSkin(0.001, 1.526, 37.0)
    assert float(o.stack_optics([skin], RAD(angle)).transmittance) == approx(one, abs=1e-4)
    assert float(o.stack_optics([skin] * 2, RAD(angle)).transmittance) == approx(two, abs=1e-4)


@pytest.mark.parametrize("angle", [30.0, 50.0, 60.0, 70.0, 80.0])
def test_against_pvlib(angle: float) -> None:
    # Witness: pvlib.iam.physical leaves the second surface out; its modifier is the first surface's and the
    # absorption's, so ours (a whole plate) must be a little below it
    skin = o.OpticalSkin(0.002, 1.526, 4.0)
    reference = float(pvlib.iam.physical(angle, n=1.526, K=4.0, L=0.002))
    across, along = o.surface_reflectance(1.526, RAD([0.0, angle]))
    passed = np.exp(-0.008 / np.cos(o.refraction_angle_rad(1.526, RAD([0.0, angle]))))
    entering = passed * (1.0 - 0.5 * (across + along))
    assert entering[1] / entering[0] == approx(reference, rel=1e-6)
    whole = o.stack_optics([skin], RAD([0.0, angle])).transmittance
    assert whole[1] / whole[0] <= reference + 1e-9


def test_effective_angles() -> None:
    # Witness: Brandemuehl & Beckman 1980 by hand: vertical 59.3 and 59.7, tilt 45 56.5 and 69.4 degrees
    assert o.effective_angles_deg(90.0) == approx((59.33, 59.72), abs=0.05)
    assert o.effective_angles_deg(45.0) == approx((56.49, 69.41), abs=0.05)


def test_diffuse_against_pvlib() -> None:
    # Witness: pvlib.iam.marion_diffuse('physical', 90, n=1.526, K=4, L=.002): sky = ground = 0.9444
    reference = pvlib.iam.marion_diffuse("physical", 90.0, n=1.526, K=4.0, L=0.002)
    for kind in ("sky", "ground"):
        angle, weight = o.diffuse_weights(kind)
        modifier = weight @ pvlib.iam.physical(np.degrees(angle), n=1.526, K=4.0, L=0.002)
        assert modifier == approx(float(reference[kind]), abs=1e-3)


def test_diffuse_against_pvlib_on_a_slope() -> None:
    # Witness: pvlib.iam.marion_diffuse at tilt 45
    reference = pvlib.iam.marion_diffuse("physical", 45.0, n=1.526, K=4.0, L=0.002)
    for kind in ("sky", "ground"):
        angle, weight = o.diffuse_weights(kind, 45.0)
        modifier = weight @ pvlib.iam.physical(np.degrees(angle), n=1.526, K=4.0, L=0.002)
        assert modifier == approx(float(reference[kind]), abs=4e-3)


def test_horizon_band_on_a_wall() -> None:
    # Witness: pvlib.iam.marion_diffuse horizon at 90 degrees
    reference = pvlib.iam.marion_diffuse("physical", 90.0, n=1.526, K=4.0, L=0.002)["horizon"]
    angle, weight = o.diffuse_weights("horizon")
    assert weight @ pvlib.iam.physical(np.degrees(angle), n=1.526, K=4.0, L=0.002) == approx(
        float(reference), abs=1e-3
    )


def test_sky_and_ground_are_alike_on_a_wall() -> None:
    sky, ground = (o.diffuse_optics(lossless(2), kind) for kind in ("sky", "ground"))
    assert float(sky.transmittance) == approx(float(ground.transmittance), rel=1e-9)
    # Witness: the beam value at Brandemuehl & Beckman's angle lies within half a percent
    beam = float(o.stack_optics(lossless(2), RAD(59.5)).transmittance)
    assert float(sky.transmittance) == approx(beam, rel=0.01)


def test_weights_refuse_an_unknown_word() -> None:
    with pytest.raises(ValueError, match="'sky', 'ground', 'horizon' or 'all'"):
        o.diffuse_weights("moon")


def test_transmittance_absorptance() -> None:
    # Witness: Duffie & Beckman example 5.5.1 (from memory): 0.7949, and 1.01 tau alpha = 0.7964
    assert o.transmittance_absorptance(0.83, 0.95, 0.16) == approx(0.7949, abs=1e-4)
    assert o.transmittance_absorptance(0.83, 0.95, 0.16) == approx(1.01 * 0.83 * 0.95, rel=3e-3)


def test_polycarbonate_twin_wall() -> None:
    # Witness: Fresnel, n = 1.586, four surfaces, no absorption: 0.822 and 0.744
    stack = o.stack_optics(lossless(2, 1.586), RAD([0.0, 60.0]))
    assert stack.transmittance == approx([0.822, 0.744], abs=1e-3)


@pytest.mark.parametrize(
    ("depth_mm", "wall_mm", "visible"), [(4, 0.4, 0.82), (6, 0.5, 0.80), (10, 0.55, 0.80)]
)
def test_twin_wall_visible_light(depth_mm: float, wall_mm: float, visible: float) -> None:
    # Witness: visible transmission of twin-wall sheet from two makers' data pages: 0.82 (4 mm), 0.80 (6 to 10
    # mm)
    skin = o.OpticalSkin(wall_mm / 1000, 1.586, 20.0)
    assert float(o.stack_optics([skin] * 2, 0.0).transmittance) == approx(visible, abs=0.03), depth_mm


def test_triple_wall_bound() -> None:
    # Witness: makers give 0.72 to 0.74 for triple wall; Fresnel bound 0.755
    assert float(o.stack_optics(lossless(3, 1.586), 0.0).transmittance) == approx(0.755, abs=2e-3)


def rays(skins: list[o.OpticalSkin], angle: float, absorptance: float) -> tuple[float, list[float], float]:
    """Follow light plate by plate, bounce by bounce, for one polarisation pair; the slow way round.

    Returns (taken by a specular absorber behind, taken by each skin, sent back out).
    """
    taken, skin_share, out = 0.0, [0.0] * len(skins), 0.0
    for which in (0, 1):
        plates = []
        for skin in skins:
            r = float(o.surface_reflectance(skin.index, angle)[which])
            a = float(
                np.exp(
                    -skin.extinction_1_m
                    * skin.thickness_m
                    / np.cos(o.refraction_angle_rad(skin.index, angle))
                )
            )
            tau = a * (1 - r) ** 2 / (1 - (r * a) ** 2)
            plates.append((tau, r * (1 + a * tau)))
        inward, outward = np.zeros(len(skins) + 1), np.zeros(len(skins) + 1)
        inward[0] = 0.5
        for _ in range(400):
            next_in, next_out = np.zeros_like(inward), np.zeros_like(outward)
            for i, (tau, rho) in enumerate(plates):
                next_in[i + 1] += tau * inward[i] + rho * outward[i + 1]
                next_out[i] += tau * outward[i + 1] + rho * inward[i]
                skin_share[i] += (1 - tau - rho) * (inward[i] + outward[i + 1])
            taken += absorptance * inward[-1]
            next_out[-1] += (1 - absorptance) * inward[-1]
            out += next_out[0]
            next_out[0] = 0.0
            inward, outward = next_in, next_out
    return taken, skin_share, out


@pytest.mark.parametrize("angle_deg", [0.0, 45.0, 75.0])
def test_stack_against_counted_bounces(angle_deg: float) -> None:
    # Witness: light followed bounce by bounce in this file, three unlike skins, black behind
    skins = [
        o.OpticalSkin(0.003, 1.526, 20.0),
        o.OpticalSkin(0.0006, 1.586, 40.0),
        o.OpticalSkin(0.0006, 1.49, 5.0),
    ]
    stack = o.stack_optics(skins, RAD(angle_deg))
    through, taken, back = rays(skins, float(RAD(angle_deg)), 1.0)
    assert float(stack.transmittance) == approx(through, abs=1e-9)
    assert stack.absorbed == approx(taken, abs=1e-9)
    assert float(stack.reflectance_front) == approx(back, abs=1e-9)


# ---- laws
# ----------------------------------------------------------------------------------------------------

skin_lists = st.lists(
    st.builds(o.OpticalSkin, st.floats(1e-4, 0.01), st.floats(1.3, 1.7), st.floats(0.0, 80.0)),
    min_size=1,
    max_size=3,
)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(skin_lists, st.floats(0.0, 90.0))
def test_light_is_neither_made_nor_lost(skins: list[o.OpticalSkin], angle_deg: float) -> None:
    stack = o.stack_optics(skins, RAD(angle_deg))
    whole = stack.transmittance + stack.reflectance_front + stack.absorbed.sum(axis=0)
    behind = stack.transmittance + stack.reflectance_back + stack.absorbed_from_back.sum(axis=0)
    assert float(whole) == approx(1.0, abs=1e-9)
    assert float(behind) == approx(1.0, abs=1e-9)
    assert stack.absorbed.min() >= -1e-12
    assert float(stack.transmittance) >= 0.0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(skin_lists, st.floats(0.05, 1.0))
def test_curves_share_out_no_more_than_comes(skins: list[o.OpticalSkin], absorptance: float) -> None:
    curves = o.glazing_curves(skins, absorptance)
    beam = curves.absorbed_by_absorber + curves.absorbed_by_skin.sum(axis=0)
    assert beam.max() <= 1.0 + 1e-9
    assert curves.absorbed_by_absorber.min() >= 0.0
    assert np.all(np.isfinite(beam))
    assert curves.absorbed_by_absorber[90] == approx(0.0, abs=1e-9)
    for part in ("sky", "ground", "horizon"):
        share = getattr(curves, f"{part}_by_absorber") + getattr(curves, f"{part}_by_skin").sum()
        assert 0.0 < share < 1.0 + 1e-9


@settings(max_examples=40, deadline=None, derandomize=True)
@given(skin_lists, st.floats(0.05, 0.95), st.floats(0.001, 0.05))
def test_darker_absorber_takes_more(skins: list[o.OpticalSkin], absorptance: float, more: float) -> None:
    pale, dark = o.glazing_curves(skins, absorptance), o.glazing_curves(skins, absorptance + more)
    assert np.all(dark.absorbed_by_absorber[:90] > pale.absorbed_by_absorber[:90])
    assert dark.sky_by_absorber > pale.sky_by_absorber


def test_black_absorber_takes_all_that_passes() -> None:
    curves = o.glazing_curves([GLASS], 1.0)
    assert curves.absorbed_by_absorber == approx(
        o.stack_optics([GLASS], RAD(o.CURVE_DEG)).transmittance, abs=1e-12
    )


def test_curve_is_the_textbook_product() -> None:
    # Witness: Duffie & Beckman eq. 5.5.1 with the cover's diffuse reflectance
    skins = [o.OpticalSkin(0.0006, 1.586, 20.0)] * 2
    curves, rho = o.glazing_curves(skins, 0.9), float(o.diffuse_optics(skins).reflectance_back)
    tau = float(o.stack_optics(skins, 0.0).transmittance)
    assert curves.absorbed_by_absorber[0] == approx(o.transmittance_absorptance(tau, 0.9, rho), rel=1e-12)


def test_mesh_between_its_limits() -> None:
    """A closed mesh is a solid absorber; a mesh that is all hole leaves everything to the board."""
    skins = [o.OpticalSkin(0.0006, 1.586, 20.0)] * 2
    solid = o.glazing_curves(skins, 0.94)
    closed = o.mesh_curves(skins, 0.94, 0.0, 0.5)
    hole = o.mesh_curves(skins, 0.3, 1.0, 0.94)
    assert closed.absorbed_by_absorber == approx(solid.absorbed_by_absorber, rel=1e-12)
    assert closed.absorbed_by_back == approx(np.zeros(91))
    assert hole.absorbed_by_back == approx(solid.absorbed_by_absorber, rel=1e-12)
    assert hole.sky_by_back == approx(solid.sky_by_absorber, rel=1e-12)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(0.05, 1.0), st.floats(0.0, 1.0), st.floats(0.05, 1.0))
def test_mesh_shares(absorptance: float, openness: float, back: float) -> None:
    # Witness: bounces between mesh and board counted one by one
    mesh, board, light, up = 0.0, 0.0, 1.0, 0.0
    mesh += (1 - openness) * absorptance
    up += (1 - openness) * (1 - absorptance)
    light *= openness
    for _ in range(600):
        board += back * light
        rising = (1 - back) * light
        mesh += (1 - openness) * absorptance * rising
        up += openness * rising
        light = (1 - openness) * (1 - absorptance) * rising
    air = [o.OpticalSkin(0.001, 1.0, 0.0)]
    curves = o.mesh_curves(air, absorptance, openness, back)
    assert curves.absorbed_by_absorber[0] == approx(mesh, abs=1e-9)
    assert curves.absorbed_by_back[0] == approx(board, abs=1e-9)
    assert mesh + board + up == approx(1.0, abs=1e-9)
