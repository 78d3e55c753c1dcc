"""The shop's envelope: build-ups, leaks, degree days, and the simple hourly method as a quick answer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import formula
from noonwall.physics.air import SEA_LEVEL_PA

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

RSI_WALL_M2K_W = 0.13
RSI_UP_M2K_W = 0.10
RSI_DOWN_M2K_W = 0.17
RSE_M2K_W = 0.04

# ashrae_fundamentals_2021, ch. 16, basic model: L/s per cm², K^-1/2 and (m/s)^-1 inside the root
STACK_COEFFICIENTS = (0.000145, 0.000290, 0.000435)
WIND_COEFFICIENTS = (
    (0.000319, 0.000420, 0.000494),
    (0.000246, 0.000325, 0.000382),
    (0.000174, 0.000231, 0.000271),
    (0.000104, 0.000137, 0.000161),
    (0.000032, 0.000042, 0.000049),
)


@formula
def u_value_w_m2k(resistance_m2k_w: float, inside_film_m2k_w: float, outside_film_m2k_w: float) -> float:
    """Heat loss coefficient of a build-up from its resistance and its two surface films.

    resistance_m2k_w : float                       sum over the layers [m² K/W]
    inside_film_m2k_w, outside_film_m2k_w : float  surface resistances, RSI_* and RSE_M2K_W [m² K/W]
    Returns                                        U [W/(m² K)]
    Source                                         iso_6946_2017, 6.7.1 and table of surface resistances
    Valid                                          plain layers
    Departs                                        no
    >>> round(u_value_w_m2k(1.83, 0.13, 0.04), 3)
    0.5
    """
    return 1.0 / (inside_film_m2k_w + resistance_m2k_w + outside_film_m2k_w)


def combined_resistance_m2k_w(
    shares: Sequence[float],
    paths: Sequence[Sequence[float]],
    inside_film_m2k_w: float = RSI_WALL_M2K_W,
    outside_film_m2k_w: float = RSE_M2K_W,
) -> tuple[float, float, float]:
    """Whole resistance of a build-up with studs: mean of its upper and lower limits.

    shares : sequence, length n          share of the area that each path takes, summing to 1 [-]
    paths : n sequences of equal length  resistances layer by layer along each path [m² K/W]
    inside_film_m2k_w, outside_film_m2k_w : float  surface resistances [m² K/W]
    Returns                              (mean, upper limit, lower limit), films included [m² K/W]
    Raises                               ValueError when shares and paths do not match
    Source                               iso_6946_2017, 6.7.2 (combined method)
    Valid                                upper over lower limit below 1.5; not for metal studs
    Departs                              no
    >>> [round(r, 2) for r in combined_resistance_m2k_w((0.85, 0.15), ((3.68,), (1.08,)))]
    [2.9, 2.93, 2.87]
    """
    part = np.asarray(shares, dtype=float)
    layers = np.asarray(paths, dtype=float)
    if layers.ndim != 2 or layers.shape[0] != part.shape[0] or abs(part.sum() - 1.0) > 1e-6:
        raise ValueError("combined method wants one share for each path, all paths of equal length, sum 1")
    films = inside_film_m2k_w + outside_film_m2k_w
    upper = 1.0 / float((part / (films + layers.sum(axis=1))).sum())
    lower = films + float((1.0 / (part[:, None] / layers).sum(axis=0)).sum())
    return 0.5 * (upper + lower), upper, lower


@formula
def infiltration_flow_m3_s(
    leakage_area_m2: float,
    difference_k: float,
    wind_m_s: float,
    stack_coefficient: float,
    wind_coefficient: float,
) -> float:
    """Air that leaks through a building by its own buoyancy and by wind.

    leakage_area_m2 : float    effective leakage area at 4 Pa, discharge coefficient 1 [m²]
    difference_k : float       inside less outside temperature, either sign [K]
    wind_m_s : float           wind at the weather station, 10 m in the open [m/s]
    stack_coefficient : float  STACK_COEFFICIENTS[storeys - 1] [(L/s)²/(cm⁴ K)]
    wind_coefficient : float   WIND_COEFFICIENTS[shelter class - 1][storeys - 1] [(L/s)²/(cm⁴ (m/s)²)]
    Returns                    leakage flow [m³/s]
    Source                     ashrae_fundamentals_2021, ch. 16 (basic model); sherman_grimsrud_1980
    Valid                      one to three storeys, no fans running
    Departs                    no
    >>> round(infiltration_flow_m3_s(0.05, 30.0, 3.0, 0.000145, 0.000174), 4)
    0.0385
    """
    root = math.sqrt(stack_coefficient * abs(difference_k) + wind_coefficient * wind_m_s * wind_m_s)
    return 10.0 * leakage_area_m2 * root


@formula
def leakage_area_m2(air_changes_50pa_per_h: float, volume_m3: float, exponent: float) -> float:
    """Effective leakage area at 4 Pa from a blower-door result.

    air_changes_50pa_per_h : float  air changes an hour at 50 Pa [1/h]
    volume_m3 : float               air volume [m³]
    exponent : float                pressure exponent, 0.65 when unknown [-]
    Returns                         area of an ideal nozzle with the same flow at 4 Pa [m²]
    Source                          ashrae_fundamentals_2021, ch. 16 (effective air leakage area), air of
                                    1.204 kg/m³
    Valid                           exponent 0.5 to 1
    Departs                         no
    >>> round(1e4 * leakage_area_m2(1.0, 1699.01, 0.65), 1)  # 1000 cubic feet a minute at 50 Pa
    354.5
    """
    flow_50 = air_changes_50pa_per_h * volume_m3 / 3600.0
    return flow_50 * math.pow(4.0 / 50.0, exponent) * math.sqrt(1.204 / 8.0)


@formula
def altitude_factor(pressure_pa: float) -> float:
    """Share of its sea-level heat that a given volume of air carries at this pressure.

    pressure_pa : float  absolute pressure [Pa]
    Returns              factor [-]
    Source               ideal gas
    Valid                any
    Departs              no
    >>> round(altitude_factor(84556.0), 4)
    0.8345
    """
    return pressure_pa / SEA_LEVEL_PA


@formula
def natural_air_changes_per_h(air_changes_50pa_per_h: float, divisor: float) -> float:
    """Yearly mean air changes from a blower-door result by the rule of thumb.

    air_changes_50pa_per_h : float  air changes an hour at 50 Pa [1/h]
    divisor : float                 10 to 30, 20 when unknown [-]
    Returns                         air changes an hour [1/h]
    Source                          rule of the trade: common practice, no source
    Valid                           within a factor of two
    Departs                         no
    >>> natural_air_changes_per_h(10.0, 20.0)
    0.5
    """
    return air_changes_50pa_per_h / divisor


def heating_degree_days(daily_mean_c: ArrayLike, base_c: float) -> float:
    """Sum of the kelvins by which days stayed below a base temperature.

    daily_mean_c : array-like, shape (n,)  daily mean outdoor temperatures [°C]
    base_c : float                         base (balance) temperature [°C]
    Returns                                degree days [K d]
    Source                                 ashrae_fundamentals_2021, ch. 14 (definition)
    Valid                                  whole days
    Departs                                no
    >>> round(heating_degree_days([(50 + 30) / 2 / 1.8 - 32 / 1.8], (65 - 32) / 1.8) * 1.8, 6)
    25.0
    """
    return float(np.maximum(base_c - np.asarray(daily_mean_c, dtype=float), 0.0).sum())


@formula
def balance_point_c(setpoint_c: float, gains_w: float, loss_w_k: float) -> float:
    """Outdoor temperature above which a building's gains alone hold it at its setpoint.

    setpoint_c : float  temperature to hold [°C]
    gains_w : float     mean gains [W]
    loss_w_k : float    heat loss coefficient of the building [W/K]
    Returns             balance point [°C]
    Source              ashrae_fundamentals_2021, ch. 19 (definition)
    Valid               steady means
    Departs             no
    >>> balance_point_c(15.0, 300.0, 150.0)
    13.0
    """
    return setpoint_c - gains_w / loss_w_k


@formula
def degree_day_energy_kwh(loss_w_k: float, degree_days_kd: float) -> float:
    """Heat a building loses over a season of degree days.

    loss_w_k : float        heat loss coefficient [W/K]
    degree_days_kd : float  degree days on its balance point [K d]
    Returns                 heat [kWh]
    Source                  ashrae_fundamentals_2021, ch. 19 (degree-day method)
    Valid                   rough; with the balance point as the base, not a fixed 18 °C
    Departs                 no
    >>> degree_day_energy_kwh(150.0, 5000.0)
    18000.0
    """
    return loss_w_k * degree_days_kd * 24.0 / 1000.0


# iso_13790_2008, table 12: class -> heat capacity [J/(m² K)] and mass area, both per floor area
MASS_CLASSES = {
    "very light": (80e3, 2.5),
    "light": (110e3, 2.5),
    "medium": (165e3, 2.5),
    "heavy": (260e3, 3.0),
    "very heavy": (370e3, 3.5),
}
SURFACE_FILM_W_M2K = 3.45
MASS_FILM_W_M2K = 9.1
SURFACE_RATIO = 4.5


@dataclass(frozen=True)
class HourlyShop:
    """A building as five conductances and one capacity."""

    floor_m2: float
    mass_class: str  # a key of MASS_CLASSES
    windows_w_k: float
    opaque_w_k: float
    ventilation_w_k: float

    @property
    def surface_m2(self) -> float:
        """All surfaces that face the room [m²]."""
        return SURFACE_RATIO * self.floor_m2

    @property
    def mass_area_m2(self) -> float:
        """Effective area of the storing mass [m²]."""
        return MASS_CLASSES[self.mass_class][1] * self.floor_m2

    @property
    def capacity_j_k(self) -> float:
        """Heat capacity of the mass [J/K]."""
        return MASS_CLASSES[self.mass_class][0] * self.floor_m2

    @property
    def air_surface_w_k(self) -> float:
        """Conductance air to surface node [W/K]."""
        return SURFACE_FILM_W_M2K * self.surface_m2

    @property
    def mass_surface_w_k(self) -> float:
        """Conductance mass to surface node [W/K]."""
        return MASS_FILM_W_M2K * self.mass_area_m2

    @property
    def outside_mass_w_k(self) -> float:
        """Conductance outdoors to mass, what is left of the opaque part [W/K]."""
        return 1.0 / (1.0 / self.opaque_w_k - 1.0 / self.mass_surface_w_k)

    @property
    def chain_w_k(self) -> tuple[float, float, float]:
        """The three joined conductances, from air and windows towards the mass [W/K]."""
        h1 = 1.0 / (1.0 / self.ventilation_w_k + 1.0 / self.air_surface_w_k)
        h2 = h1 + self.windows_w_k
        h3 = 1.0 / (1.0 / h2 + 1.0 / self.mass_surface_w_k)
        return h1, h2, h3

    @property
    def time_constant_h(self) -> float:
        """Time constant of the mass [h]."""
        return self.capacity_j_k / 3600.0 / (self.chain_w_k[2] + self.outside_mass_w_k)


@dataclass(frozen=True)
class HourlyState:
    """Temperatures of one hour: means, except the mass at the hour's end."""

    air_c: float
    surface_c: float
    mass_c: float
    mass_end_c: float


def hourly_step(
    shop: HourlyShop,
    mass_c: float,
    outside_c: float,
    internal_w: float = 0.0,
    solar_w: float = 0.0,
    heating_w: float = 0.0,
    supply_c: float | None = None,
) -> HourlyState:
    """One hour of the simple hourly method.

    shop : HourlyShop                            the building
    mass_c : float                               mass temperature at the hour's beginning [°C]
    outside_c : float                            outdoor air [°C]
    internal_w, solar_w, heating_w : float       gains; heating goes wholly into the air [W]
    supply_c : float or None                     temperature of ventilation air, outdoor air when None [°C]
    Returns                                      HourlyState
    Source                                       iso_13790_2008, annex C, eq. C.1 to C.11
    Valid                                        steps of one hour; a witness and a quick answer, not the
                                                 engine
    Departs                                      no
    >>> hut = HourlyShop(48.0, "light", 36.0, 47.955, 21.6)
    >>> round(hourly_step(hut, 20.0, 0.0).air_c, 3)
    17.838
    """
    supply = outside_c if supply_c is None else supply_c
    h1, h2, h3 = shop.chain_w_k
    to_air, to_surface, to_mass = _split_gains(shop, internal_w, solar_w)
    air_drive = (to_air + heating_w) / shop.ventilation_w_k + supply
    total = (
        to_mass
        + shop.outside_mass_w_k * outside_c
        + h3 * (to_surface + shop.windows_w_k * outside_c + h1 * air_drive) / h2
    )
    inertia = shop.capacity_j_k / 3600.0
    half = 0.5 * (h3 + shop.outside_mass_w_k)
    end = (mass_c * (inertia - half) + total) / (inertia + half)
    mean = 0.5 * (mass_c + end)
    surface = (shop.mass_surface_w_k * mean + to_surface + shop.windows_w_k * outside_c + h1 * air_drive) / (
        shop.mass_surface_w_k + shop.windows_w_k + h1
    )
    air = (shop.air_surface_w_k * surface + shop.ventilation_w_k * supply + to_air + heating_w) / (
        shop.air_surface_w_k + shop.ventilation_w_k
    )
    return HourlyState(air, surface, mean, end)


def _split_gains(shop: HourlyShop, internal_w: float, solar_w: float) -> tuple[float, float, float]:
    """Return the gains that go to air, surface and mass [W] (iso_13790_2008, eq. C.1 to C.3)."""
    radiant = 0.5 * internal_w + solar_w
    mass_share = shop.mass_area_m2 / shop.surface_m2
    lost = shop.windows_w_k / (MASS_FILM_W_M2K * shop.surface_m2)
    return 0.5 * internal_w, (1.0 - mass_share - lost) * radiant, mass_share * radiant


def hourly_heat_need_w(shop: HourlyShop, mass_c: float, outside_c: float, wanted_air_c: float) -> float:
    """Heat that brings the hour's mean air temperature to a wanted value, without other gains.

    shop : HourlyShop     the building
    mass_c : float        mass temperature at the hour's beginning [°C]
    outside_c : float     outdoor air [°C]
    wanted_air_c : float  air temperature to hold [°C]
    Returns               heating, negative for cooling [W]
    Source                iso_13790_2008, annex C.4: the answer is linear in the heating, so two trials fix it
    Valid                 as hourly_step
    Departs               no limit on the plant's power
    >>> hut = HourlyShop(48.0, "light", 36.0, 47.955, 21.6)
    >>> round(hourly_heat_need_w(hut, 18.0, 0.0, 20.0))
    1639
    """
    free = hourly_step(shop, mass_c, outside_c).air_c
    trial = hourly_step(shop, mass_c, outside_c, heating_w=1000.0).air_c
    return 1000.0 * (wanted_air_c - free) / (trial - free)
