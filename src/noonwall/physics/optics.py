"""Sun through one to three clear skins onto a dark face: what each takes, by angle and for diffuse light.

Every skin is one plate with two surfaces; polarisations are carried apart and averaged at the very end.
Angles are incidence angles from the normal of the wall.

    outside | skin 0 | air | skin 1 | air | ... | absorber (or mesh, air, board behind it)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

if TYPE_CHECKING:
    from collections.abc import Sequence

Floats = NDArray[np.float64]

CURVE_DEG = np.arange(91.0)


@dataclass(frozen=True)
class OpticalSkin:
    """One clear plate: a sheet of glass, a film, or one wall of a twin-wall sheet."""

    thickness_m: float  # [m]
    index: float  # refractive index [-]
    extinction_1_m: float  # absorption along the path [1/m]


@dataclass(frozen=True)
class StackOptics:
    """Optics of a stack of skins for unpolarised light from the front; arrays of the shape of the angles."""

    transmittance: Floats
    reflectance_front: Floats
    reflectance_back: Floats  # for light that comes from behind at the same angle
    absorbed: Floats  # share taken by each skin, shape (skins, ...), outermost first
    absorbed_from_back: Floats  # the same for light from behind


@dataclass(frozen=True)
class GlazingCurves:
    """What the parts of a glazed wall take of the sun that meets the glazing, all inner reflections counted.

    Shares of the irradiance on the wall's outer face: by angle for beam and circumsolar, one figure each for
    isotropic sky, horizon band and ground. For each kind, absorber + back + skins + reflected make 1.
    """

    angle_deg: Floats  # (91,) 0 to 90
    absorbed_by_absorber: Floats  # (91,) solid face, or the mesh
    absorbed_by_back: Floats  # (91,) board behind a mesh; 0 for a solid absorber
    absorbed_by_skin: Floats  # (skins, 91) outermost first
    sky_by_absorber: float
    sky_by_back: float
    sky_by_skin: Floats  # (skins,)
    horizon_by_absorber: float
    horizon_by_back: float
    horizon_by_skin: Floats  # (skins,)
    ground_by_absorber: float
    ground_by_back: float
    ground_by_skin: Floats  # (skins,)


@dataclass(frozen=True)
class _Behind:
    """What stands behind the glazing, for light that reaches it: shares taken, and sent back diffusely."""

    by_absorber: float
    by_back: float
    reflected: float


def refraction_angle_rad(index: float, incidence_rad: ArrayLike) -> Floats:
    """Angle of light inside a plate.

    index : float               refractive index of the plate, outside is air [-]
    incidence_rad : array-like  angle of incidence [rad]
    Returns                     angle inside [rad]
    Source                      Snell's law; duffie_beckman_2013, eq. 5.1.4
    Valid                       index at least 1
    Departs                     no
    >>> round(float(np.degrees(refraction_angle_rad(1.526, np.radians(60.0)))), 2)
    34.58
    """
    return np.asarray(np.arcsin(np.sin(np.asarray(incidence_rad, dtype=float)) / index))


def surface_reflectance(index: float, incidence_rad: ArrayLike) -> tuple[Floats, Floats]:
    """Reflectance of one surface between air and a plate, for each polarisation.

    index : float               refractive index of the plate [-]
    incidence_rad : array-like  angle of incidence [rad]
    Returns                     (perpendicular, parallel) reflectances [-]
    Source                      Fresnel; duffie_beckman_2013, eq. 5.1.1 to 5.1.3, example 5.1.1
    Valid                       0 to pi/2; 1 at grazing incidence; index 1 reflects nothing below it
    Departs                     no
    >>> [round(float(r), 3) for r in surface_reflectance(1.526, np.radians(60.0))]
    [0.185, 0.001]
    """
    outside = np.cos(np.asarray(incidence_rad, dtype=float))
    outside = np.where(np.abs(outside) < 1e-12, 0.0, outside)
    inside = np.cos(refraction_angle_rad(index, incidence_rad))
    below_s = outside + index * inside
    below_p = index * outside + inside
    perpendicular = np.where(below_s > 0.0, (outside - index * inside) / np.maximum(below_s, 1e-300), 1.0)
    parallel = np.where(below_p > 0.0, (index * outside - inside) / np.maximum(below_p, 1e-300), 1.0)
    return perpendicular**2, parallel**2


def _plate(skin: OpticalSkin, incidence_rad: Floats) -> tuple[Floats, Floats]:
    """Return (transmittance, reflectance) of one plate, shape (2, ...), one row for each polarisation."""
    path = skin.thickness_m / np.cos(refraction_angle_rad(skin.index, incidence_rad))
    passed = np.exp(-skin.extinction_1_m * path)
    r = np.stack(surface_reflectance(skin.index, incidence_rad))
    below = np.maximum(1.0 - (r * passed) ** 2, 1e-15)
    tau = passed * (1.0 - r) ** 2 / below
    return tau, r + r * passed * tau


def slab_optics(
    index: float, extinction_1_m: float, thickness_m: float, incidence_rad: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Optics of one clear plate for unpolarised light, inner reflections summed without limit.

    index : float               refractive index [-]
    extinction_1_m : float      absorption along the path [1/m]
    thickness_m : float         thickness [m]
    incidence_rad : array-like  angle of incidence [rad]
    Returns                     (transmittance, reflectance, absorptance), shape of the angles [-]
    Source                      duffie_beckman_2013, eq. 5.3.1 to 5.3.3, for each polarisation, then averaged
    Valid                       plates thick against the wavelength (no interference)
    Departs                     no
    >>> [round(float(x), 4) for x in slab_optics(1.526, 0.0370, 1.0, np.radians(60.0))]
    [0.8041, 0.1522, 0.0437]
    """
    tau, rho = _plate(OpticalSkin(thickness_m, index, extinction_1_m), np.asarray(incidence_rad, dtype=float))
    t, r = tau.mean(axis=0), rho.mean(axis=0)
    return t, r, 1.0 - t - r


def stack_optics(skins: Sequence[OpticalSkin], incidence_rad: ArrayLike) -> StackOptics:
    """Optics of skins one behind the other, every reflection between them counted.

    skins : sequence of OpticalSkin  outermost first, at least one
    incidence_rad : array-like       angle of incidence [rad]
    Returns                          StackOptics
    Source                           net-radiation (adding) method, edwards_1977; same as
                                     duffie_beckman_2013, sec. 5.3
    Valid                            parallel specular plates in air; webs of a twin-wall sheet are left out
    Departs                          no
    >>> round(float(stack_optics([OpticalSkin(0.001, 1.526, 0.0)] * 2, 0.0).transmittance), 4)
    0.8465
    """
    angle = np.asarray(incidence_rad, dtype=float)
    plates = [_plate(skin, angle) for skin in skins]
    forward = _travel(plates)
    backward = _travel(plates[::-1])
    return StackOptics(
        transmittance=forward[0].mean(axis=0),
        reflectance_front=forward[1].mean(axis=0),
        reflectance_back=backward[1].mean(axis=0),
        absorbed=forward[2].mean(axis=1),
        absorbed_from_back=backward[2][::-1].mean(axis=1),
    )


def _travel(plates: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats, Floats]:
    """Send unit light onto the first plate; return (transmitted, reflected, absorbed by each plate).

    ``behind[i]`` is the reflectance of all plates from i on; fluxes then follow from the front to the back.
    """
    behind = [np.zeros_like(plates[0][0])]
    for tau, rho in reversed(plates):
        rest = behind[-1]
        behind.append(rho + tau**2 * rest / np.maximum(1.0 - rho * rest, 1e-15))
    behind.reverse()
    inward = np.ones_like(behind[0])
    absorbed = []
    for (tau, rho), here, rest in zip(plates, behind[:-1], behind[1:], strict=True):
        passed = inward * tau / np.maximum(1.0 - rho * rest, 1e-15)
        absorbed.append(inward * (1.0 - here) - passed * (1.0 - rest))
        inward = passed
    return inward, behind[0], np.stack(absorbed)


def _angle_nodes(count: int = 64) -> tuple[Floats, Floats]:
    """Return Gauss-Legendre angles from 0 to pi/2 and their weights [rad]."""
    x, w = np.polynomial.legendre.leggauss(count)
    return (x + 1.0) * np.pi / 4.0, w * np.pi / 4.0


def _upward_share(angle_rad: Floats, tilt_rad: float) -> Floats:
    """Return the share of the cone at this incidence angle that looks above the horizon."""
    lean = np.cos(angle_rad) * np.cos(tilt_rad)
    reach = np.maximum(np.sin(angle_rad) * np.sin(tilt_rad), 1e-12)
    return np.asarray(np.arccos(np.clip(-lean / reach, -1.0, 1.0)) / np.pi)


def diffuse_weights(kind: str, tilt_deg: float = 90.0) -> tuple[Floats, Floats]:
    """Incidence angles and weights that turn a curve over angle into one diffuse figure.

    kind : str        'sky' (isotropic), 'ground' (isotropic), 'horizon' (thin band) or 'all' (whole half
                      space)
    tilt_deg : float  tilt of the plane [deg]
    Returns           (angles [rad], weights summing to 1), each shape (64,)
    Raises            ValueError for another word
    Source            projected solid angle, sin cos dθ; the cone's share above the horizon from spherical
                      geometry
    Valid             tilts above 0 for 'ground' and 'horizon'; the horizon band is treated as on a vertical
                      plane
    Departs           no
    >>> angles, weights = diffuse_weights("sky")
    >>> round(float(weights @ np.cos(angles)), 4)
    0.6667
    """
    angle, step = _angle_nodes()
    tilt = np.radians(tilt_deg)
    if kind == "horizon":
        weight = step * np.cos(angle)
    elif kind in ("sky", "ground", "all"):
        weight = step * np.sin(angle) * np.cos(angle)
        if kind != "all":
            above = _upward_share(angle, float(tilt))
            weight = weight * (above if kind == "sky" else 1.0 - above)
    else:
        raise ValueError(f"kind is 'sky', 'ground', 'horizon' or 'all', not {kind!r}")
    return angle, weight / weight.sum()


def diffuse_optics(skins: Sequence[OpticalSkin], kind: str = "all", tilt_deg: float = 90.0) -> StackOptics:
    """Optics of a stack for diffuse light.

    skins : sequence of OpticalSkin  outermost first
    kind : str                       see diffuse_weights
    tilt_deg : float                 tilt of the plane [deg]
    Returns                          StackOptics of plain numbers (shape () and (skins,))
    Source                           integral over the part of the hemisphere named by kind
    Valid                            isotropic light from that part
    Departs                          no
    >>> round(float(diffuse_optics([OpticalSkin(0.002, 1.526, 4.0)]).transmittance), 3)
    0.837
    """
    angle, weight = diffuse_weights(kind, tilt_deg)
    stack = stack_optics(skins, angle)
    return StackOptics(
        transmittance=np.asarray(stack.transmittance @ weight),
        reflectance_front=np.asarray(stack.reflectance_front @ weight),
        reflectance_back=np.asarray(stack.reflectance_back @ weight),
        absorbed=stack.absorbed @ weight,
        absorbed_from_back=stack.absorbed_from_back @ weight,
    )


def effective_angles_deg(tilt_deg: float) -> tuple[float, float]:
    """Beam angles that give about the same transmittance as diffuse light from sky and from ground.

    tilt_deg : float  tilt of the plane [deg]
    Returns           (sky, ground) [deg]
    Source            brandemuehl_beckman_1980; duffie_beckman_2013, eq. 5.4.1 and 5.4.2
    Valid             0 to 90 deg; a check on diffuse_optics, which the curves use
    Departs           no
    >>> [round(a, 2) for a in effective_angles_deg(90.0)]
    [59.31, 59.72]
    """
    b = tilt_deg
    return 59.68 - 0.1388 * b + 0.001497 * b * b, 90.0 - 0.5788 * b + 0.002693 * b * b


def transmittance_absorptance(tau: float, absorptance: float, diffuse_reflectance: float) -> float:
    """Share of sun an absorber takes behind a cover, from the cover's transmittance.

    tau : float                  transmittance of the cover at the sun's angle [-]
    absorptance : float          absorptance of the face [-]
    diffuse_reflectance : float  reflectance of the cover for diffuse light from behind [-]
    Returns                      transmittance-absorptance product [-]
    Source                       duffie_beckman_2013, eq. 5.5.1, example 5.5.1 (from memory)
    Valid                        face reflects diffusely
    Departs                      no
    >>> round(transmittance_absorptance(0.83, 0.95, 0.16), 4)
    0.7949
    """
    return tau * absorptance / (1.0 - (1.0 - absorptance) * diffuse_reflectance)


def glazing_curves(
    skins: Sequence[OpticalSkin], absorber_absorptance: float, tilt_deg: float = 90.0
) -> GlazingCurves:
    """Shares of sun that a solid absorber and each skin before it take.

    skins : sequence of OpticalSkin  outermost first, one to three
    absorber_absorptance : float     absorptance of the face [-]
    tilt_deg : float                 tilt of the wall, 90 vertical [deg]
    Returns                          GlazingCurves, nothing taken by a back
    Source                           stack_optics; reflections between face and cover duffie_beckman_2013,
                                     eq. 5.5.1
    Valid                            face reflects diffusely; its absorptance does not change with angle
    Departs                          the light the face sends back is also charged to the skins it warms
    >>> curves = glazing_curves([OpticalSkin(0.003, 1.526, 10.0)], 0.95)
    >>> round(float(curves.absorbed_by_absorber[0]), 3), round(curves.sky_by_absorber, 3)
    (0.852, 0.781)
    """
    behind = _Behind(absorber_absorptance, 0.0, 1.0 - absorber_absorptance)
    return _curves(skins, behind, tilt_deg)


def mesh_curves(
    skins: Sequence[OpticalSkin],
    mesh_absorptance: float,
    mesh_openness: float,
    back_absorptance: float,
    tilt_deg: float = 90.0,
) -> GlazingCurves:
    """Shares of sun that a mesh hung in the gap, the board behind it and each skin take.

    skins : sequence of OpticalSkin  outermost first, one to three
    mesh_absorptance : float         absorptance of the mesh's own material [-]
    mesh_openness : float            share of light that passes the mesh untouched [-]
    back_absorptance : float         absorptance of the board behind [-]
    tilt_deg : float                 tilt of the wall [deg]
    Returns                          GlazingCurves
    Source                           net-radiation method for mesh and board, then as glazing_curves
    Valid                            diffuse reflections; openness held the same at all angles (a real mesh
                                     closes at a slant, so it takes somewhat more and the board less)
    Departs                          no
    >>> curves = mesh_curves([OpticalSkin(0.003, 1.526, 10.0)], 0.94, 0.45, 0.90)
    >>> [round(float(x[0]), 3) for x in (curves.absorbed_by_absorber, curves.absorbed_by_back)]
    [0.485, 0.364]
    """
    solid = 1.0 - mesh_openness
    taken, sent = solid * mesh_absorptance, solid * (1.0 - mesh_absorptance)
    board = 1.0 - back_absorptance
    reach = mesh_openness / (1.0 - sent * board)
    behind = _Behind(
        by_absorber=taken + reach * board * taken,
        by_back=reach * back_absorptance,
        reflected=sent + reach * board * mesh_openness,
    )
    return _curves(skins, behind, tilt_deg)


def _curves(skins: Sequence[OpticalSkin], behind: _Behind, tilt_deg: float) -> GlazingCurves:
    """Join a stack of skins with what stands behind it."""
    inner = diffuse_optics(skins)
    rho_back = float(inner.reflectance_back)
    bounce = 1.0 / (1.0 - behind.reflected * rho_back)

    def shares(stack: StackOptics) -> tuple[Floats, Floats, Floats]:
        reaching = stack.transmittance * bounce
        sent_back = np.multiply.outer(inner.absorbed_from_back, reaching * behind.reflected)
        return reaching * behind.by_absorber, reaching * behind.by_back, stack.absorbed + sent_back

    beam = shares(stack_optics(skins, np.radians(CURVE_DEG)))
    sky = shares(diffuse_optics(skins, "sky", tilt_deg))
    horizon = shares(diffuse_optics(skins, "horizon", tilt_deg))
    ground = sky if tilt_deg <= 0.0 else shares(diffuse_optics(skins, "ground", tilt_deg))
    return GlazingCurves(
        angle_deg=CURVE_DEG.copy(),
        absorbed_by_absorber=beam[0],
        absorbed_by_back=beam[1],
        absorbed_by_skin=beam[2],
        sky_by_absorber=float(sky[0]),
        sky_by_back=float(sky[1]),
        sky_by_skin=sky[2],
        horizon_by_absorber=float(horizon[0]),
        horizon_by_back=float(horizon[1]),
        horizon_by_skin=horizon[2],
        ground_by_absorber=float(ground[0]),
        ground_by_back=float(ground[1]),
        ground_by_skin=ground[2],
    )
