"""Long-wave exchange between surfaces, and how cold the sky looks."""

from __future__ import annotations

import math

from noonwall.compiled import formula

STEFAN_BOLTZMANN = 5.670374419e-8


@formula
def exchange_emittance(emittance_1: float, emittance_2: float) -> float:
    """Effective emittance of two large parallel grey faces that see only each other.

    emittance_1, emittance_2 : float  long-wave emittances, above 0 to 1 [-]
    Returns                           effective emittance [-]
    Source                            duffie_beckman_2013, sec. 3.8
    Valid                             grey, diffuse, parallel, gap small against the faces
    Departs                           no
    >>> round(exchange_emittance(0.95, 0.88), 4)
    0.841
    """
    return 1.0 / (1.0 / emittance_1 + 1.0 / emittance_2 - 1.0)


@formula
def linear_radiation_w_m2k(emittance: float, t1_k: float, t2_k: float) -> float:
    """Radiative film coefficient: times (T1 - T2) it gives the exchange exactly.

    emittance : float   effective emittance [-]
    t1_k, t2_k : float  temperatures of the two faces [K]
    Returns             coefficient [W/(m² K)]
    Source              duffie_beckman_2013, sec. 3.10: the difference of fourth powers factored
    Valid               any absolute temperatures
    Departs             no
    >>> round(linear_radiation_w_m2k(1.0, 283.15, 283.15), 3)
    5.149
    """
    return emittance * STEFAN_BOLTZMANN * (t1_k * t1_k + t2_k * t2_k) * (t1_k + t2_k)


@formula
def sky_swinbank_k(air_k: float) -> float:
    """Effective temperature of a clear sky from air temperature alone.

    air_k : float  outdoor air temperature [K]
    Returns        sky temperature [K]
    Source         swinbank_1963; duffie_beckman_2013, eq. 3.9.2
    Valid          clear nights, humid lowland sites; 275 to 305 K in the data, used beyond
    Departs        no
    >>> round(sky_swinbank_k(273.15) - 273.15, 1)
    -24.0
    """
    return 0.0552 * air_k * math.sqrt(air_k)


@formula
def clear_sky_emittance_berdahl_martin(dewpoint_c: float, solar_hour: float, pressure_pa: float) -> float:
    """Emittance of a clear sky from dew point, hour and pressure.

    dewpoint_c : float   dew point of the outdoor air [°C]
    solar_hour : float   hours since solar midnight [h]
    pressure_pa : float  station pressure; 100000 takes the term out [Pa]
    Returns              emittance of the clear sky against air temperature [-]
    Source               berdahl_martin_1984; duffie_beckman_2013, eq. 3.9.2 (hour and pressure terms from
                         memory)
    Valid                dew points -20 to 30 °C; kept within 0.3 to 1 outside
    Departs              the clamp
    >>> round(clear_sky_emittance_berdahl_martin(0.0, 0.0, 100000.0), 3)
    0.724
    """
    d = dewpoint_c / 100.0
    value = (
        0.711
        + 0.56 * d
        + 0.73 * d * d
        + 0.013 * math.cos(math.pi * solar_hour / 12.0)
        + 0.00012 * (pressure_pa / 100.0 - 1000.0)
    )
    return min(1.0, max(0.3, value))


@formula
def clear_sky_emittance_clark_allen(dewpoint_c: float) -> float:
    """Emittance of a clear sky from dew point.

    dewpoint_c : float  dew point of the outdoor air [°C]
    Returns             emittance of the clear sky against air temperature [-]
    Source              clark_allen_1978
    Valid               dew points -30 to 30 °C; kept within 0.3 to 1 outside
    Departs             the clamp
    >>> round(clear_sky_emittance_clark_allen(-10.0), 4)
    0.7585
    """
    value = 0.787 + 0.764 * math.log((dewpoint_c + 273.15) / 273.15)
    return min(1.0, max(0.3, value))


@formula
def clouded_emittance_clark_allen(clear_emittance: float, cloud_share: float) -> float:
    """Emittance of a sky that is partly or wholly clouded.

    clear_emittance : float  emittance of the same sky without cloud [-]
    cloud_share : float      opaque cloud cover, 0 clear to 1 overcast [-]
    Returns                  emittance of the sky [-]
    Source                   clark_allen_1978, cloud polynomial in tenths (checked: overcast stays below 1)
    Valid                    0 to 1; the result never passes 1
    Departs                  the clamp
    >>> round(clouded_emittance_clark_allen(0.7585, 1.0), 3)
    0.875
    """
    n = 10.0 * min(1.0, max(0.0, cloud_share))
    return min(1.0, clear_emittance * (1.0 + n * (0.0224 + n * (-0.0035 + n * 0.00028))))


@formula
def sky_temperature_k(emittance: float, air_k: float) -> float:
    """Temperature of a black sky that radiates as this one.

    emittance : float  emittance of the sky against air temperature [-]
    air_k : float      outdoor air temperature [K]
    Returns            sky temperature [K]
    Source             definition
    Valid              emittance above 0
    Departs            no
    >>> round(sky_temperature_k(0.724, 283.15) - 273.15, 2)
    -11.96
    """
    return air_k * math.sqrt(math.sqrt(emittance))


@formula
def sky_temperature_from_infrared_k(infrared_w_m2: float) -> float:
    """Temperature of a black sky that sends this much long-wave down on a level plane.

    infrared_w_m2 : float  long-wave from the sky on a horizontal plane [W/m²]
    Returns                sky temperature [K]
    Source                 Stefan-Boltzmann law
    Valid                  above 0 W/m²
    Departs                no
    >>> round(sky_temperature_from_infrared_k(315.6579), 2)
    273.15
    """
    return math.sqrt(math.sqrt(infrared_w_m2 / STEFAN_BOLTZMANN))


@formula
def sky_sight(tilt_rad: float) -> tuple[float, float, float]:
    """Shares of what a plane sees in the long-wave: cold sky, air-warm sky near the horizon, ground.

    tilt_rad : float  tilt of the plane, 0 facing up, pi/2 vertical [rad]
    Returns           (sky, air, ground) shares, summing to 1 [-]
    Source            walton_1983: of the sky half a share sqrt((1 + cos tilt)/2) counts as sky, the rest as
                      air
    Valid             0 to pi, level open ground
    Departs           no
    >>> [round(share, 4) for share in sky_sight(3.141592653589793 / 2.0)]
    [0.3536, 0.1464, 0.5]
    """
    above = 0.5 * (1.0 + math.cos(tilt_rad))
    share = math.sqrt(above)
    return above * share, above * (1.0 - share), 1.0 - above
