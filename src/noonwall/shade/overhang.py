"""Shadow of a plain level overhang on a wall, in closed form."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import formula, kernel

if TYPE_CHECKING:
    from noonwall.model.wall import Overhang
    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats


@formula
def missed_area(t: float, shift: float, side: float, width: float) -> float:
    """Return the part of a shadow band that slips past the wall's end, integrated from the edge at the wall.

    t      share of the overhang's depth, 0 at the wall, 1 at the outer edge [-]
    shift  sideways shift of the outer edge's shadow [m], not negative
    side   how far the overhang runs past the wall's end [m];  width  of the wall [m]
    Returns  integral over t of the uncovered width [m]
    """
    reach = shift * t - side
    if reach <= 0.0:
        return 0.0
    if reach < width:
        return reach * reach / (2.0 * shift)
    return width * (reach - 0.5 * width) / shift


@formula
def shaded_share(
    low: float, high: float, edge: float, drop: float, shift: float, side: float, width: float
) -> float:
    """Return the shaded share of a strip of wall under an overhang.

    low, high  the strip's lower and upper edge above the glazing's foot [m]
    edge       height of the overhang above the glazing's foot [m]
    drop       depth of the shadow, projection times tangent of the profile angle [m]
    shift      sideways shift of the outer edge's shadow [m], not negative
    side, width  overrun at the side the sun comes from, and the wall's width [m]
    Returns    share of the strip's area [-]

    Source  ASHRAE Handbook Fundamentals, fenestration chapter: shadow height = P tan(profile angle),
            shadow width shift = P tan(wall solar azimuth) (from memory)
    """
    if drop <= 0.0:
        return 0.0
    first = min(1.0, max(0.0, (edge - high) / drop))
    last = min(1.0, max(0.0, (edge - low) / drop))
    if last <= first:
        return 0.0
    missed = missed_area(last, shift, side, width) - missed_area(first, shift, side, width)
    return drop * (width * (last - first) - missed) / (width * (high - low))


@kernel
def overhang_pass(
    along: Floats,
    out: Floats,
    up: Floats,
    size: tuple[float, float],
    hang: tuple[float, float, float],
    share: Floats,
) -> None:
    """Multiply the share of beam on each strip by what an overhang lets past.

    along, out, up  (n,) unit vector to the light in the wall's axes;  size  wall's width and height [m]
    hang            overhang's depth, height above the glazing's foot, overrun at each side [m]
    share           (n, strips), changed in place; directions not before the wall are left alone
    """
    width, height = size
    depth, edge, side = hang
    strips = share.shape[1]
    step = height / strips
    for i in range(len(up)):
        if up[i] <= 0.0 or out[i] <= 1e-9:
            continue
        drop = depth * up[i] / out[i]
        shift = depth * abs(along[i]) / out[i]
        for j in range(strips):
            if (j + 1) * step <= edge - drop:
                continue
            share[i, j] *= 1.0 - shaded_share(j * step, (j + 1) * step, edge, drop, shift, side, width)


def shade_overhang(
    frame: Frame, overhang: Overhang, along: Floats, out: Floats, up: Floats, share: Floats
) -> None:
    """Multiply ``share`` (n, strips) by the overhang's effect for each direction, in place."""
    if overhang.depth_m <= 0.0:
        return
    hang = (overhang.depth_m, frame.height_m + overhang.above_m, overhang.side_m)
    overhang_pass(along, out, up, (frame.width_m, frame.height_m), hang, np.ascontiguousarray(share))
