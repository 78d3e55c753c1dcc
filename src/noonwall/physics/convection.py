"""Convection: vertical enclosures, plates, channels with flow, the gap's faces, wind, the room's surfaces.

Film coefficients are per face and per square metre of that face. Properties are taken at the mean of the
temperatures that drive the film, from the fits in ``air``.
"""

from __future__ import annotations

import math

from noonwall.compiled import formula
from noonwall.physics.air import (
    GAS_CONSTANT_J_KGK,
    GRAVITY_M_S2,
    SPECIFIC_HEAT_J_KGK,
    ZERO_C_K,
    conductivity_w_mk,
    viscosity_pa_s,
)

LAMINAR_ONE_SIDE = 70.0 / 13.0
LAMINAR_END_RE = 2300.0
TURBULENT_BEGIN_RE = 4000.0
AIR_PRANDTL = 0.707
NO_FLOW_GRAETZ = 1e-4
THIRD = 1.0 / 3.0


@formula
def cube_root(x: float) -> float:
    """Cube root of a positive number, by logarithm: quicker than a power in compiled code.

    x : float  above 0 [-]
    Returns    cube root [-]
    Source     definition
    Valid      above 0
    Departs    no
    >>> round(cube_root(27.0), 12)
    3.0
    """
    return math.exp(THIRD * math.log(x))


@formula
def _enclosure_cubed(Ra: float, aspect: float) -> float:
    """Return the third power of nusselt_vertical_enclosure; branches that cannot win are not evaluated."""
    if Ra < 300.0:
        return 1.0
    x = math.log(Ra)
    best = 0.0605**3 * Ra
    if Ra < 1e6:
        below = 1.0 + math.exp(1.36 * (math.log(6310.0) - x))
        best = max(best, 1.0 + 0.104**3 * math.exp(3.0 * 0.293 * x) / (below * below * below))
    if aspect < 25.0:
        best = max(best, 0.242**3 * math.exp(3.0 * 0.272 * (x - math.log(aspect))))
    return best


@formula
def nusselt_vertical_enclosure(Ra: float, aspect: float) -> float:
    """Mean Nusselt number of a closed vertical air layer between two isothermal faces.

    Ra : float      Rayleigh number on the layer's thickness and the difference of its faces [-]
    aspect : float  height over thickness [-]
    Returns         Nu on the thickness; 1 is conduction alone [-]
    Source          elsherbiny_1982: the greatest of three branches
    Valid           aspect 5 to 110, Ra 1e3 up to 2e7 (upper end falls with aspect); runs on smoothly
                    beyond, and never below 1
    Departs         no
    >>> round(nusselt_vertical_enclosure(1e5, 40.0), 3)
    3.002
    """
    return cube_root(_enclosure_cubed(Ra, aspect))


@formula
def nusselt_vertical_plate(Ra: float, Pr: float) -> float:
    """Mean Nusselt number of an isothermal vertical plate in still air, laminar and turbulent.

    Ra : float  Rayleigh number on the plate's height [-]
    Pr : float  Prandtl number at film temperature [-]
    Returns     Nu on the height [-]
    Source      churchill_chu_1975, eq. 9 (the form for all Ra)
    Valid       Ra up to 1e12; towards 0 it tends to 0.68
    Departs     no
    >>> round(nusselt_vertical_plate(1.8147e9, 0.69))  # incropera_2011, example 9.2
    147
    """
    shape = math.pow(1.0 + math.pow(0.492 / Pr, 9.0 / 16.0), 8.0 / 27.0)
    if Ra <= 0.0:
        return 0.825 * 0.825
    root = 0.825 + 0.387 * math.exp(math.log(Ra) / 6.0) / shape
    return root * root


@formula
def nusselt_channel_one_side(Re: float, Pr: float, hydraulic_m: float, length_m: float) -> float:
    """Mean Nusselt number of flow between wide parallel plates, one heated and the other insulated.

    Re : float           Reynolds number on the hydraulic diameter [-]
    Pr : float           Prandtl number [-]
    hydraulic_m : float  hydraulic diameter, twice the gap [m]
    length_m : float     length along the flow, from an abrupt inlet [m]
    Returns              Nu on the hydraulic diameter, mean over the length [-]
    Source               laminar end value 70/13 shah_london_1978; rise in the inlet length mercer_1967
                         (duffie_beckman_2013, eq. 3.14.7); turbulent 0.0158 Re^0.8 kays_1966
                         (duffie_beckman_2013, eq. 3.14.6) with 1 + (D/L)^0.7 for the inlet, mcadams_1954;
                         passage from 2300 to 4000 after gnielinski_2013
    Valid                Re 0 to 1e5, length over diameter above 5; published forms differ by up to 20 %
    Departs              mercer's end value 4.9 (isothermal face) is replaced by 70/13 (uniform flux); the
                         passage is weighted by a smooth step, not a straight line; turbulent never below
                         laminar
    >>> round(nusselt_channel_one_side(10.0, 0.707, 0.01, 10.0), 3)
    5.385
    """
    if Re <= 0.0:
        return LAMINAR_ONE_SIDE
    share = hydraulic_m / length_m
    # One exponential serves both powers: r is the tenth root of Re Pr D/L.
    r = math.exp(0.1 * math.log(Re * Pr * share))
    r3 = r * r * r
    rise = 0.0606 * r3 * r3 * r3 * r3 / (1.0 + 0.0909 * r3 * r3 * r * math.pow(Pr, 0.17))
    laminar = LAMINAR_ONE_SIDE + rise
    if Re <= LAMINAR_END_RE:
        return laminar
    turbulent = 0.0158 * math.exp(0.8 * math.log(Re)) * (1.0 + math.exp(0.7 * math.log(share)))
    if turbulent <= laminar:
        return laminar
    if Re >= TURBULENT_BEGIN_RE:
        return turbulent
    w = (Re - LAMINAR_END_RE) / (TURBULENT_BEGIN_RE - LAMINAR_END_RE)
    return laminar + w * w * (3.0 - 2.0 * w) * (turbulent - laminar)


@formula
def rayleigh(difference_k: float, mean_k: float, size_m: float, pressure_pa: float) -> float:
    """Rayleigh number of air: buoyancy against viscosity and conduction.

    difference_k : float  size of the temperature difference [K]
    mean_k : float        mean (film) temperature, for the properties [K]
    size_m : float        height or thickness the number is built on [m]
    pressure_pa : float   absolute pressure [Pa]
    Returns               Rayleigh number [-]
    Source                definition; expansion coefficient 1/T of an ideal gas
    Valid                 225 to 430 K
    Departs               no
    >>> round(rayleigh(15.0, 283.0, 0.012, 101325.0))
    3161
    """
    density = pressure_pa / (GAS_CONSTANT_J_KGK * mean_k)
    drive = GRAVITY_M_S2 * difference_k * density * density * SPECIFIC_HEAT_J_KGK / mean_k
    return drive * size_m * size_m * size_m / (viscosity_pa_s(mean_k) * conductivity_w_mk(mean_k))


@formula
def enclosure_film_w_m2k(
    face1_c: float, face2_c: float, gap_m: float, height_m: float, pressure_pa: float
) -> float:
    """Convective conductance of a closed vertical air layer, face to face.

    face1_c, face2_c : float  temperatures of the faces [°C]
    gap_m, height_m : float   thickness and height of the layer [m]
    pressure_pa : float       absolute pressure [Pa]
    Returns                   conductance between the faces, radiation not included [W/(m² K)]
    Source                    elsherbiny_1982
    Valid                     see nusselt_vertical_enclosure
    Departs                   no
    >>> round(enclosure_film_w_m2k(2.5, 17.5, 0.012, 1.0, 101325.0), 2)
    2.11
    """
    mean_k = 0.5 * (face1_c + face2_c) + ZERO_C_K
    Ra = rayleigh(abs(face1_c - face2_c), mean_k, gap_m, pressure_pa)
    return nusselt_vertical_enclosure(Ra, height_m / gap_m) * conductivity_w_mk(mean_k) / gap_m


@formula
def plate_film_w_m2k(face_c: float, air_c: float, height_m: float, pressure_pa: float) -> float:
    """Natural convection from a vertical face to the air before it.

    face_c, air_c : float  temperatures of the face and of the air away from it [°C]
    height_m : float       height of the face [m]
    pressure_pa : float    absolute pressure [Pa]
    Returns                film coefficient [W/(m² K)]
    Source                 churchill_chu_1975, eq. 9
    Valid                  see nusselt_vertical_plate
    Departs                Prandtl number held at 0.707
    >>> round(plate_film_w_m2k(232.0, 23.0, 0.71, 101325.0), 1)
    7.0
    """
    mean_k = 0.5 * (face_c + air_c) + ZERO_C_K
    Ra = rayleigh(abs(face_c - air_c), mean_k, height_m, pressure_pa)
    return nusselt_vertical_plate(Ra, AIR_PRANDTL) * conductivity_w_mk(mean_k) / height_m


@formula
def channel_reynolds(air_c: float, hydraulic_m: float, speed_m_s: float, pressure_pa: float) -> float:
    """Reynolds number of air in a channel.

    air_c : float        temperature of the air [°C]
    hydraulic_m : float  hydraulic diameter, twice the gap of a flat channel [m]
    speed_m_s : float    mean speed, either sign [m/s]
    pressure_pa : float  absolute pressure [Pa]
    Returns              Reynolds number, never negative [-]
    Source               definition
    Valid                -45 to 155 °C (air property fits)
    Departs              no
    >>> round(channel_reynolds(40.0, 0.1, 0.3, 101325.0))
    1764
    """
    air_k = air_c + ZERO_C_K
    density = pressure_pa / (GAS_CONSTANT_J_KGK * air_k)
    return density * abs(speed_m_s) * hydraulic_m / viscosity_pa_s(air_k)


@formula
def forced_film_w_m2k(
    air_c: float, gap_m: float, length_m: float, speed_m_s: float, pressure_pa: float
) -> float:
    """Film coefficient of air that is blown or drawn through a flat gap.

    air_c : float        temperature of the air [°C]
    gap_m : float        distance of the faces [m]
    length_m : float     length of the flow path [m]
    speed_m_s : float    mean speed, either sign [m/s]
    pressure_pa : float  absolute pressure [Pa]
    Returns              film coefficient of one face, the other taken as insulated [W/(m² K)]
    Source               nusselt_channel_one_side on twice the gap
    Valid                as there
    Departs              Prandtl number held at 0.707
    >>> round(forced_film_w_m2k(40.0, 0.025, 2.4, 3.0, 101325.0), 1)
    13.2
    """
    hydraulic_m = 2.0 * gap_m
    Re = channel_reynolds(air_c, hydraulic_m, speed_m_s, pressure_pa)
    Nu = nusselt_channel_one_side(Re, AIR_PRANDTL, hydraulic_m, length_m)
    return Nu * conductivity_w_mk(air_c + ZERO_C_K) / hydraulic_m


@formula
def mixed_film_w_m2k(natural_cubed: float, forced_w_m2k: float, still_w_m2k: float, graetz: float) -> float:
    """Film coefficient of a gap's face where natural and forced convection act together.

    natural_cubed : float  third power of the film at rest [W³/(m⁶ K³)]
    forced_w_m2k : float   film of the flow alone [W/(m² K)]
    still_w_m2k : float    conduction from face to mid-gap, 2 k / gap, contained in both [W/(m² K)]
    graetz : float         Re Pr D / L: below 1 the air takes on the faces' warmth before it leaves [-]
    Returns                joint film coefficient [W/(m² K)]
    Source                 churchill_1977: third powers added
    Valid                  flow along the buoyancy; natural_cubed at least still_w_m2k³
    Departs                conduction is counted once; the flow's part fades in with graetz, so that the
                           film is the natural one at rest and forced_w_m2k in a narrow gap with flow;
                           opposed buoyancy is joined in the same way (the source takes it off)
    >>> round(mixed_film_w_m2k(27.0, 4.0, 0.0, 1e6), 3), round(mixed_film_w_m2k(27.0, 4.0, 1.0, 0.0), 9)
    (4.498, 3.0)
    """
    fade = graetz * graetz / (1.0 + graetz * graetz)
    f3 = forced_w_m2k * forced_w_m2k * forced_w_m2k
    s3 = still_w_m2k * still_w_m2k * still_w_m2k
    return cube_root(natural_cubed + fade * (f3 - s3))


@formula
def gap_films_w_m2k(
    face1_c: float,
    face2_c: float,
    air_c: float,
    gap_m: float,
    height_m: float,
    speed_m_s: float,
    pressure_pa: float,
) -> tuple[float, float]:
    """Film coefficients between both faces of an air gap and the air in it, still or moving.

    face1_c, face2_c : float  temperatures of the faces [°C]
    air_c : float             temperature of the air between them [°C]
    gap_m : float             distance of the faces [m]
    height_m : float          height of the gap, also the length of the flow path [m]
    speed_m_s : float         mean speed of the air, either sign [m/s]
    pressure_pa : float       absolute pressure [Pa]
    Returns                   (film of face 1, film of face 2) [W/(m² K)]
    Source                    natural part: greater of elsherbiny_1982 (doubled, so that two equal films in
                              series are the closed layer) and churchill_chu_1975; forced part:
                              forced_film_w_m2k; joined by mixed_film_w_m2k
    Valid                     gaps 5 to 300 mm, speeds to 10 m/s
    Departs                   see mixed_film_w_m2k; no single published correlation covers all of it
    >>> [round(h, 2) for h in gap_films_w_m2k(60.0, 20.0, 30.0, 0.09, 2.4, 0.5, 101325.0)]
    [5.07, 5.07]
    """
    mean_k = 0.5 * (face1_c + face2_c) + ZERO_C_K
    still = 2.0 * conductivity_w_mk(mean_k) / gap_m
    Ra = rayleigh(abs(face1_c - face2_c), mean_k, gap_m, pressure_pa)
    enclosure = still * still * still * _enclosure_cubed(Ra, height_m / gap_m)
    plate1 = plate_film_w_m2k(face1_c, air_c, height_m, pressure_pa)
    plate2 = plate_film_w_m2k(face2_c, air_c, height_m, pressure_pa)
    first = max(enclosure, plate1 * plate1 * plate1)
    second = max(enclosure, plate2 * plate2 * plate2)
    hydraulic_m = 2.0 * gap_m
    Re = channel_reynolds(air_c, hydraulic_m, speed_m_s, pressure_pa)
    graetz = Re * AIR_PRANDTL * hydraulic_m / height_m
    if graetz < NO_FLOW_GRAETZ:
        return cube_root(first), cube_root(second)
    Nu = nusselt_channel_one_side(Re, AIR_PRANDTL, hydraulic_m, height_m)
    forced = Nu * conductivity_w_mk(air_c + ZERO_C_K) / hydraulic_m
    return mixed_film_w_m2k(first, forced, still, graetz), mixed_film_w_m2k(second, forced, still, graetz)


@formula
def gap_film_w_m2k(
    face_c: float,
    other_face_c: float,
    air_c: float,
    gap_m: float,
    height_m: float,
    speed_m_s: float,
    pressure_pa: float,
) -> float:
    """Film coefficient of one face of an air gap: the first of gap_films_w_m2k (which costs the same).

    face_c, other_face_c : float  temperatures of this face and the opposite one [°C]
    air_c : float                 temperature of the air between them [°C]
    gap_m, height_m : float       distance of the faces, height of the gap [m]
    speed_m_s : float             mean speed of the air, either sign [m/s]
    pressure_pa : float           absolute pressure [Pa]
    Returns                       film coefficient of this face [W/(m² K)]
    Source                        gap_films_w_m2k
    Valid                         as there
    Departs                       no
    >>> round(gap_film_w_m2k(60.0, 20.0, 40.0, 0.09, 2.4, 0.0, 101325.0), 2)
    4.8
    """
    return gap_films_w_m2k(face_c, other_face_c, air_c, gap_m, height_m, speed_m_s, pressure_pa)[0]


@formula
def cavity_conductance_w_m2k(
    gap_m: float,
    height_m: float,
    face1_c: float,
    face2_c: float,
    emittance_exchange: float,
    pressure_pa: float,
) -> float:
    """Whole conductance of a closed vertical air layer: convection and radiation.

    gap_m, height_m : float     thickness and height of the layer [m]
    face1_c, face2_c : float    temperatures of its faces [°C]
    emittance_exchange : float  effective emittance of the two faces (radiation.exchange_emittance) [-]
    pressure_pa : float         absolute pressure [Pa]
    Returns                     conductance [W/(m² K)]
    Source                      elsherbiny_1982 and the Stefan-Boltzmann law
    Valid                       see nusselt_vertical_enclosure
    Departs                     no
    >>> round(1.0 / cavity_conductance_w_m2k(0.015, 2.0, 7.5, 12.5, 0.8182, 101325.0), 3)
    0.17
    """
    t1, t2 = face1_c + ZERO_C_K, face2_c + ZERO_C_K
    radiation = emittance_exchange * 5.670374419e-8 * (t1 * t1 + t2 * t2) * (t1 + t2)
    return enclosure_film_w_m2k(face1_c, face2_c, gap_m, height_m, pressure_pa) + radiation


@formula
def wind_film_w_m2k(wind_m_s: float) -> float:
    """Convection from a glazed face to outdoor air in wind, radiation left out.

    wind_m_s : float  wind at the face [m/s]
    Returns           film coefficient [W/(m² K)]
    Source            watmuff_1977: McAdams' figures with their radiation taken off
    Valid             0 to 7 m/s; published forms spread from 17.8 to 24.7 W/(m² K) at 5 m/s
    Departs           no
    >>> wind_film_w_m2k(3.0)
    11.8
    """
    return 2.8 + 3.0 * wind_m_s


@formula
def wind_film_iso_w_m2k(wind_m_s: float) -> float:
    """Convection from an outside face in wind, the building standard's form: the named alternative.

    wind_m_s : float  wind at the face [m/s]
    Returns           film coefficient, radiation left out [W/(m² K)]
    Source            iso_6946_2017, annex C (from memory)
    Valid             0 to 10 m/s
    Departs           no
    >>> wind_film_iso_w_m2k(4.0)
    20.0
    """
    return 4.0 + 4.0 * wind_m_s


@formula
def wind_film_mcadams_w_m2k(wind_m_s: float) -> float:
    """Heat loss of a face to outdoors in wind, some radiation in it: do not add radiation again.

    wind_m_s : float  wind at the face [m/s]
    Returns           film coefficient, part of the radiation included [W/(m² K)]
    Source            mcadams_1954; duffie_beckman_2013, eq. 3.15.1
    Valid             0 to 5 m/s
    Departs           no
    >>> round(wind_film_mcadams_w_m2k(5.0), 1)
    24.7
    """
    return 5.7 + 3.8 * wind_m_s


@formula
def local_wind_m_s(wind_10m: float, shelter_factor: float, height_m: float) -> float:
    """Wind at a wall from wind measured at 10 m in the open.

    wind_10m : float        wind at 10 m over open ground [m/s]
    shelter_factor : float  share that reaches the wall past trees and buildings, 0 to 1 [-]
    height_m : float        height of the wall's middle above ground [m]
    Returns                 wind at the wall [m/s]
    Source                  ashrae_fundamentals_2021, ch. 24: power law, exponent 0.14 in open country
    Valid                   1 to 100 m; lower heights count as 1 m
    Departs                 shelter as one factor
    >>> round(local_wind_m_s(5.0, 1.0, 2.0), 2)
    3.99
    """
    return wind_10m * shelter_factor * math.pow(max(height_m, 1.0) / 10.0, 0.14)


@formula
def interior_film_w_m2k(surface_c: float, air_c: float, facing: float) -> float:
    """Natural convection between a surface of the room and the room's air, radiation left out.

    surface_c, air_c : float  temperatures of surface and room air [°C]
    facing : float            cosine of the surface's tilt: 1 floor (looks up), 0 wall, -1 ceiling [-]
    Returns                   film coefficient, at least 0.5 [W/(m² K)]
    Source                    walton_1983: 1.31 |dT|^(1/3) for walls, other factors by tilt and direction of
                              heat
    Valid                     differences of 1 to 40 K
    Departs                   floored at 0.5 (draughts of a used room), common practice, no source
    >>> round(interior_film_w_m2k(24.0, 16.0, 0.0), 2)
    2.62
    """
    difference = surface_c - air_c
    root = math.pow(abs(difference), THIRD)
    if abs(facing) < 1e-3:
        factor = 1.31
    elif difference * facing > 0.0:
        factor = 9.482 / (7.283 - abs(facing))
    else:
        factor = 1.810 / (1.382 + abs(facing))
    return max(0.5, factor * root)
