"""Shares an hour's irradiance out over its steps: each hour's energy is kept, night stays dark."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from noonwall.compiled import formula, kernel
from noonwall.sky.clear import clear_beam_share, clear_global

Floats = NDArray[np.float64]
CIVIL_TWILIGHT_DEG = -6.0
MOST_BEAM = 0.85  # own choice: a step keeps under this share of the extraterrestrial beam if its hour can
GHI, DNI, DHI = 0, 1, 2


@formula
def _slope(before: float, own: float, after: float) -> float:
    """Return how steeply an index runs through its cell: the flatter of both sides, level at a peak or a dip.

    before, own, after : float   index of three cells in a row; negative where the sun is down
    *Source*   minmod slope, van Leer 1979, Journal of Computational Physics 32, 101
    """
    if before < 0.0 or after < 0.0:
        return 0.0
    down, up = own - before, after - own
    if down * up <= 0.0:
        return 0.0
    return down if abs(down) < abs(up) else up


@kernel
def share_out(cells: Floats, elevation: Floats, up: Floats, extra: Floats, lit: Floats, out: Floats) -> float:
    """Fill irradiance at fine steps from means over coarse cells.

    cells     : shape (3, k)   GHI, DNI, DHI, mean over each cell [W/m²]
    elevation, up, extra, lit : shape (k * m,)   sun course at the fine steps (lit: share of step with sun)
    out       : shape (3, k * m), filled: GHI, DNI, DHI, mean over each fine step [W/m²]
    Returns   beam energy left out, as sum over cells [W/m² x cells]: cells with beam but no sun at this place
    *Source*  own: cloudless-sky index of each cell, sloping towards its neighbours, times the step's sky,
              then scaled so that each cell keeps its mean (global, beam and diffuse each for itself)
    *Valid*   any number of steps a cell; a cell whose sun stays down but within 6 degrees of the horizon
              keeps its diffuse light as twilight, deeper night is dark
    """
    count = cells.shape[1]
    fine = up.shape[0] // count
    beam_index = np.empty(count)
    diffuse_index = np.empty(count)
    for k in range(count):
        clear_beam, clear_diffuse = 0.0, 0.0
        for i in range(k * fine, (k + 1) * fine):
            if lit[i] > 0.0:
                clear_beam += lit[i] * extra[i] * clear_beam_share(elevation[i])
                clear_diffuse += lit[i] * clear_global(up[i])
        beam_index[k] = cells[DNI, k] * fine / clear_beam if clear_beam > 0.0 else -1.0
        diffuse_index[k] = cells[DHI, k] * fine / clear_diffuse if clear_diffuse > 0.0 else -1.0
    left_out = 0.0
    for k in range(count):
        if diffuse_index[k] >= 0.0:
            _fill_day(k, fine, cells, beam_index, diffuse_index, elevation, up, extra, lit, out)
        else:
            left_out += cells[DNI, k]
            _fill_night(k, fine, cells, elevation, out)
    return left_out


@formula
def _fill_day(
    k: int,
    fine: int,
    cells: Floats,
    beam_index: Floats,
    diffuse_index: Floats,
    elevation: Floats,
    up: Floats,
    extra: Floats,
    lit: Floats,
    out: Floats,
) -> None:
    """Share out a cell in which the sun is up at least for a while."""
    before, after = max(k - 1, 0), min(k + 1, len(beam_index) - 1)
    beam_slope = _slope(beam_index[before], beam_index[k], beam_index[after])
    diffuse_slope = _slope(diffuse_index[before], diffuse_index[k], diffuse_index[after])
    beam, diffuse = 0.0, 0.0
    for j in range(fine):
        i = k * fine + j
        away = (j + 0.5) / fine - 0.5
        out[DNI, i] = 0.0
        out[DHI, i] = 0.0
        if lit[i] > 0.0:
            index = beam_index[k] + beam_slope * away
            out[DNI, i] = index * lit[i] * extra[i] * clear_beam_share(elevation[i])
            index = diffuse_index[k] + diffuse_slope * away
            out[DHI, i] = index * lit[i] * clear_global(up[i])
        beam += out[DNI, i]
        diffuse += out[DHI, i]
    beam_scale = cells[DNI, k] * fine / beam if beam > 0.0 else 0.0
    diffuse_scale = cells[DHI, k] * fine / diffuse if diffuse > 0.0 else 0.0
    lit_sum, peak = 0.0, 0.0
    for i in range(k * fine, (k + 1) * fine):
        out[DNI, i] *= beam_scale
        out[DHI, i] *= diffuse_scale
        lit_sum += lit[i]
        if lit[i] > 0.0:
            peak = max(peak, out[DNI, i] / lit[i])
    even = cells[DNI, k] * fine / lit_sum
    blend_even = _even_share(peak, even, MOST_BEAM * extra[k * fine])
    level = 0.0
    for i in range(k * fine, (k + 1) * fine):
        out[DNI, i] += blend_even * (even * lit[i] - out[DNI, i])
        out[GHI, i] = out[DNI, i] * up[i] + out[DHI, i]
        level += out[GHI, i]
    for i in range(k * fine, (k + 1) * fine):
        # Global light that neither beam nor diffuse explains follows the lit share of the step.
        out[GHI, i] = cells[GHI, k] * fine * (out[GHI, i] / level if level > 0.0 else lit[i] / lit_sum)


@formula
def _even_share(peak: float, even: float, most: float) -> float:
    """Return how far a cell's beam is blended towards an even one, so that its peak stays possible [-]."""
    if peak <= most or peak <= even:
        return 0.0
    return min((peak - most) / (peak - even), 1.0)


@formula
def _fill_night(k: int, fine: int, cells: Floats, elevation: Floats, out: Floats) -> None:
    """Share out a cell in which the sun stays down: twilight keeps its diffuse light, night is dark."""
    dusk = 0
    for i in range(k * fine, (k + 1) * fine):
        dusk += 1 if elevation[i] > CIVIL_TWILIGHT_DEG else 0
    for i in range(k * fine, (k + 1) * fine):
        share = fine / dusk if elevation[i] > CIVIL_TWILIGHT_DEG else 0.0
        out[DNI, i] = 0.0
        out[DHI, i] = cells[DHI, k] * share
        out[GHI, i] = cells[GHI, k] * share


@kernel
def blend(cells: Floats, phase: int, fine: int, wrap: bool, out: Floats) -> None:
    """Interpolate point figures linearly between the middles of coarse cells.

    cells : shape (r, k)   r figures, mean over each cell
    phase : int            fine steps between the first cell's beginning and the first fine step
    fine  : int            fine steps a cell;  wrap : whether the last cell is followed by the first
    out   : shape (r, n), filled: figures at the middle of each fine step
    """
    count = cells.shape[1]
    for i in range(out.shape[1]):
        place = (phase + i + 0.5) / fine - 0.5
        low = int(np.floor(place))
        weight = place - low
        high = low + 1
        if wrap:
            low, high = low % count, high % count
        else:
            low, high = min(max(low, 0), count - 1), min(max(high, 0), count - 1)
        for r in range(cells.shape[0]):
            out[r, i] = cells[r, low] + weight * (cells[r, high] - cells[r, low])
