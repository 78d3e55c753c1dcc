"""How far a ray runs through a crown or a body of foliage: one ray, one shape.

Rays start on the receiving plane and run towards the light; only what lies ahead of the start counts. All
points are in the receiver's axes: two in the plane, the third off it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import formula

if TYPE_CHECKING:
    from noonwall.shade.record import Floats

FAR = 1e30


@formula
def between(first: float, last: float, start: float, climb: float, low: float, high: float) -> float:
    """Return the length of a ray's stretch that lies ahead and between two heights.

    first, last  the stretch [m along the ray];  start, climb  height at the ray's start, and gained per metre
    low, high    heights [m]
    Returns      length [m], 0 when nothing is left
    """
    if abs(climb) < 1e-12:
        if start < low or start > high:
            return 0.0
    else:
        at_low, at_high = (low - start) / climb, (high - start) / climb
        if at_low > at_high:
            at_low, at_high = at_high, at_low
        first, last = max(first, at_low), min(last, at_high)
    return max(0.0, last - max(first, 0.0))


@formula
def egg_chord(
    radius: float, half: float, mm: float, md: float, ma: float, ad: float, low: float, high: float
) -> float:
    """Return a ray's way through an upright ellipsoid.

    radius, half  level and upright half axis [m]
    mm, md, ma    from the ellipsoid's middle to the ray's start: length squared [m²], part along the ray,
                  part upright [m]
    ad            upright part of the ray's direction [-]
    low, high     heights from the middle between which the crown is still there (topped trees) [m]
    Returns       length [m]
    *Source*      quadratic of a line and a quadric, any geometry text
    """
    flat = 1.0 / (radius * radius)
    tall = 1.0 / (half * half) - flat
    A = flat + tall * ad * ad
    B = flat * md + tall * ma * ad
    C = flat * mm + tall * ma * ma - 1.0
    inside = B * B - A * C
    if inside <= 0.0:
        return 0.0
    reach = math.sqrt(inside)
    first, last = (-B - reach) / A, (-B + reach) / A
    if last <= 0.0:
        return 0.0
    if first >= 0.0 and low <= -half and high >= half:
        return last - first
    return between(first, last, ma, ad, low, high)


@formula
def cone_chord(
    radius: float, height: float, mm: float, md: float, ma: float, ad: float, high: float
) -> float:
    """Return a ray's way through an upright cone.

    radius, height  of the whole cone [m]
    mm, md, ma      from the middle of its base to the ray's start: as for ``egg_chord``
    ad              upright part of the ray's direction [-]
    high            height above its base at which it is cut off [m]
    Returns         length [m]
    *Source*        quadratic of a line and a double cone, the upper cone cut away
    """
    k = radius / height
    below = height - ma
    A = 1.0 - (1.0 + k * k) * ad * ad
    B = md - ma * ad + k * k * below * ad
    C = mm - ma * ma - k * k * below * below
    inside = B * B - A * C
    if inside < 0.0 or abs(A) < 1e-12:
        return 0.0
    reach = math.sqrt(inside)
    if A > 0.0:
        first, last = (-B - reach) / A, (-B + reach) / A
    elif ad > 0.0:
        first, last = -FAR, (-B + reach) / A
    else:
        first, last = (-B - reach) / A, FAR
    return between(first, last, ma, ad, 0.0, min(height, high))


@formula
def egg_form(
    radius: float, half: float, ad: float, start: tuple[float, float, float], lean: tuple[float, float]
) -> tuple[float, float, float, float]:
    """Return the parabola under the root of ``egg_chord`` for rays that start side by side on a row.

    radius, half, ad  as for ``egg_chord``
    start    mm, md, ma of the ray that starts at u = 0;  lean  ray's and upright's part along the row
    Returns  p0, p1, p2 of p0 + p1 u + p2 u², and the divisor A of the chord
    """
    mm, md, ma = start
    du, au = lean
    flat = 1.0 / (radius * radius)
    tall = 1.0 / (half * half) - flat
    A = flat + tall * ad * ad
    B0, B1 = flat * md + tall * ma * ad, flat * du + tall * au * ad
    C0, C1, C2 = flat * mm + tall * ma * ma - 1.0, 2.0 * tall * ma * au, flat + tall * au * au
    return B0 * B0 - A * C0, 2.0 * B0 * B1 - A * C1, B1 * B1 - A * C2, A


@formula
def cone_form(
    radius: float, height: float, ad: float, start: tuple[float, float, float], lean: tuple[float, float]
) -> tuple[float, float, float, float, float]:
    """Return the parabola under the root of ``cone_chord`` for rays that start side by side on a row.

    Arguments as for ``egg_form``
    Returns  p0, p1, p2 of p0 + p1 u + p2 u², and B = b0 + b1 u as (b0, b1)
    """
    mm, md, ma = start
    du, au = lean
    k2 = (radius / height) ** 2
    A = 1.0 - (1.0 + k2) * ad * ad
    below = height - ma
    B0, B1 = md - ma * ad + k2 * below * ad, du - au * ad - k2 * au * ad
    C0, C1 = mm - ma * ma - k2 * below * below, 2.0 * au * (k2 * below - ma)
    C2 = 1.0 - au * au - k2 * au * au
    return B0 * B0 - A * C0, 2.0 * B0 * B1 - A * C1, B1 * B1 - A * C2, B0, B1


@formula
def ends(p0: float, p1: float, p2: float) -> tuple[float, float]:
    """Return between which places a parabola p0 + p1 u + p2 u² that opens downward is above nought.

    One that opens upward is taken to be above nought everywhere that matters.
    """
    under = p1 * p1 - 4.0 * p2 * p0
    if p2 >= 0.0:
        return -FAR, FAR
    if under <= 0.0:
        return 0.0, 0.0
    reach = math.sqrt(under)
    half = 0.5 / p2
    return (-p1 + reach) * half, (-p1 - reach) * half


@formula
def faded(depth: float) -> float:
    """Return the share of light that gets through an optical depth, exp(-depth) within 1e-5 [-].

    *Source*  the 32nd power of the series of exp(-x) to third order at x = depth / 32: five products instead of
              a library call, and loops over it run several cells at a time
    *Valid*   0 and up; 0 gives exactly 1
    """
    x = min(depth, 40.0) / 32.0
    y = 1.0 - x * (1.0 - x * (0.5 - x / 6.0))
    y *= y
    y *= y
    y *= y
    y *= y
    return y * y


@formula
def block_chord(
    planes: Floats, j: int, sides: int, start: tuple[float, float, float], way: tuple[float, float, float]
) -> float:
    """Return a ray's way through a convex body.

    planes  (bodies, sides or more, 4) outward normal and distance of each side: inside is n.p <= d
    j       number of the body;  sides  how many sides it has
    start   a point of the ray [m];  way  its direction, unit length
    Returns length ahead of the start [m]
    """
    first, last = 0.0, FAR
    for i in range(sides):
        nx, ny, nz = planes[j, i, 0], planes[j, i, 1], planes[j, i, 2]
        slack = planes[j, i, 3] - nx * start[0] - ny * start[1] - nz * start[2]
        speed = nx * way[0] + ny * way[1] + nz * way[2]
        if speed > 1e-12:
            last = min(last, slack / speed)
        elif speed < -1e-12:
            first = max(first, slack / speed)
        elif slack < 0.0:
            return 0.0
        if last <= first:
            return 0.0
    return last - first
