"""Where the sun stands: scalar formulas that also take numpy arrays (the readers use them so)."""

from __future__ import annotations

import numpy as np

from noonwall.compiled import formula

J2000_UNIX_S = 946728000.0  # 2000-01-01 12:00 UTC in seconds since 1970
TERRESTRIAL_MINUS_UNIVERSAL_S = 69.0  # 2015-2025; 10 s off moves the sun by 0.0001 degree
SOLAR_CONSTANT_W_M2 = 1366.1  # ASTM E490; the one the transposition coefficients were fitted with
SUN_RADIUS_DEG = 0.26667
REFRACTION_HORIZON_DEG = 0.5667
EARTH_PARALLAX_DEG = 0.00244


@formula
def sun_equatorial(unix_utc_s: float) -> tuple[float, float, float, float]:
    """Return the sun's apparent direction seen from the earth's centre.

    unix_utc_s : float or array   seconds since 1970-01-01 00:00 UTC
    Returns      right ascension [rad], sine of declination [-], Greenwich apparent sidereal time [rad],
                 distance [AU]
    *Source*     Meeus, Astronomical Algorithms (1991), ch. 25, with the five largest perturbations of his
                 Astronomical Formulae for Calculators, ch. 18 (both from memory; held against the NREL
                 solar position algorithm as pvlib has it)
    *Valid*      1970-2050: within 0.004 degree of that algorithm; slowly worse beyond
    """
    days = (unix_utc_s - J2000_UNIX_S) / 86400.0
    t = (days + TERRESTRIAL_MINUS_UNIVERSAL_S / 86400.0) / 36525.0
    rad = np.pi / 180.0
    mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032)
    anomaly = (357.52911 + t * (35999.05029 - t * 0.0001537)) * rad
    eccentricity = 0.016708634 - t * 0.000042037
    centre = (
        (1.914602 - t * 0.004817) * np.sin(anomaly)
        + (0.019993 - t * 0.000101) * np.sin(2.0 * anomaly)
        + 0.000289 * np.sin(3.0 * anomaly)
    )
    distance = 1.000001018 * (1.0 - eccentricity**2) / (1.0 + eccentricity * np.cos(anomaly + centre * rad))
    t1900 = t + 1.0  # the perturbations' source counts centuries from 1900
    perturbation = (
        0.00134 * np.cos((153.23 + 22518.7541 * t1900) * rad)
        + 0.00154 * np.cos((216.57 + 45037.5082 * t1900) * rad)
        + 0.00200 * np.cos((312.69 + 32964.3577 * t1900) * rad)
        + 0.00179 * np.sin((350.74 + 445267.1142 * t1900) * rad)
        + 0.00178 * np.sin((231.19 + 20.20 * t1900) * rad)
    )
    node = (125.04 - 1934.136 * t) * rad
    nutation = -0.00478 * np.sin(node)
    longitude = (mean_longitude + centre + perturbation - 0.00569 + nutation) * rad
    obliquity = (23.4392911 - 0.0130042 * t + 0.00256 * np.cos(node)) * rad
    sin_longitude = np.sin(longitude)
    ascension = np.arctan2(np.cos(obliquity) * sin_longitude, np.cos(longitude))
    sidereal = (280.46061837 + 360.98564736629 * days + nutation * np.cos(obliquity)) * rad
    return ascension, np.sin(obliquity) * sin_longitude, sidereal, distance


@formula
def sun_local(
    unix_utc_s: float, sin_latitude: float, cos_latitude: float, longitude_rad: float
) -> tuple[float, float, float, float]:
    """Return the unit vector to the sun's centre, without refraction and parallax, and its distance.

    unix_utc_s : float or array   seconds since 1970-01-01 00:00 UTC
    sin_latitude, cos_latitude : float   of the place [-];  longitude_rad : float   east positive [rad]
    Returns      east, north, up [-], distance [AU]
    *Source*     `sun_equatorial`, `sun_horizontal`
    """
    ascension, sin_declination, sidereal, distance = sun_equatorial(unix_utc_s)
    hour_angle = sidereal + longitude_rad - ascension
    east, north, up = sun_horizontal(hour_angle, sin_declination, sin_latitude, cos_latitude)
    return east, north, up, distance


@formula
def sun_horizontal(
    hour_angle_rad: float, sin_declination: float, sin_latitude: float, cos_latitude: float
) -> tuple[float, float, float]:
    """Return the unit vector to the sun, east, north, up [-], from hour angle and declination.

    hour_angle_rad : float or array   west positive [rad];  sin_declination : float or array   [-]
    sin_latitude, cos_latitude : float   of the place [-]
    *Source*     spherical trigonometry
    """
    cos_declination = np.sqrt(1.0 - sin_declination * sin_declination)
    cos_hour = cos_declination * np.cos(hour_angle_rad)
    east = -cos_declination * np.sin(hour_angle_rad)
    north = sin_declination * cos_latitude - cos_hour * sin_latitude
    up = sin_declination * sin_latitude + cos_hour * cos_latitude
    return east, north, up


@formula
def apparent_elevation(geometric_deg: float, pressure_pa: float, air_c: float) -> float:
    """Return the elevation at which the sun's centre is seen, after parallax and refraction [deg].

    geometric_deg : float   elevation seen from the earth's centre [deg]
    pressure_pa : float     air pressure at the place [Pa];  air_c : float   air temperature [degC]
    *Source*     Reda and Andreas 2004, NREL/TP-560-34302, equation 42 (refraction), parallax of 8.794 arc
                 seconds
    *Valid*      all elevations; below -0.83 degree no refraction is added, as in the source
    """
    seen = geometric_deg - EARTH_PARALLAX_DEG * np.cos(geometric_deg * (np.pi / 180.0))
    if seen < -(SUN_RADIUS_DEG + REFRACTION_HORIZON_DEG):
        return float(seen)
    bend = 1.02 / (60.0 * np.tan((seen + 10.3 / (seen + 5.11)) * (np.pi / 180.0)))
    return float(seen + pressure_pa / 101000.0 * 283.0 / (273.0 + air_c) * bend)


@formula
def standard_pressure(elevation_m: float) -> float:
    """Return the pressure of the standard atmosphere [Pa] at an elevation [m].

    *Source*     ICAO standard atmosphere, troposphere: 101325 (1 - 2.25577e-5 z)^5.25588
    *Valid*      -500 to 11,000 m
    """
    return float(101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588)
