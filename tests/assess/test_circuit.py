"""The circuit's checks: currents, contacts, limits that cannot act, hunting, the cable, each by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pytest import approx

from fakes.walls import switch, walled
from fakes.years import invented_year, with_table
from noonwall.assess.circuit import CAUTION, circuit_check, loads, next_wire, starts

GAP = {"name": "gap switch", "close": 43.0, "open": 32.0}
LIMIT = {"name": "limit", "kind": "open on rise", "spot": "room", "open": 24.0, "close": 22.0}


def fan(**keys: Any):
    return walled().fans[0].model_copy(update=keys)


def circuit(**keys: Any):
    return walled().circuit.model_copy(update=keys)


def told(project, about: str, year=None):
    found = circuit_check(project, year or invented_year(3600))
    return [one for one in found.findings if one.about == about]


def test_currents_running_and_starting() -> None:
    # Witness: by hand: 1.5 A running, six times as much at the start: 9 A (switch makers' guides to kinds of load).
    (load,) = loads(walled(fans=(fan(count=1, current_a=1.5),)))
    assert (load.running_a, load.starting_a) == (1.5, 9.0)
    # from power: 32 W at 120 V and a power factor of 0.65: 0.410 A each
    (load,) = loads(walled())
    assert load.running_a == approx(3 * 32.0 / (120.0 * 0.65))
    (load,) = loads(walled(fans=(fan(count=1, supply="pv", power_w=15.0),)))
    assert (load.volts, load.running_a, load.switched) == (12.0, approx(1.25), False)


@pytest.mark.parametrize(
    ("contact_a", "contact_for", "verdict"),
    [
        # Witness: a motor load may take 80 % of a motor rating (NEC 404.14, quoted): 1.5 A needs 1.875 A.
        (1.9, "motor", "fits"),
        (1.8, "motor", "beyond"),
        # Witness: only a resistive rating: six times the motor's running current must be below it: 9 A.
        (9.1, "resistive", "fits"),
        (8.9, "resistive", "beyond"),
        # Witness: a 15 A snap switch carries at most 12 A of motor load.
        (15.0, "motor", "fits"),
    ],
)
def test_contacts_against_running_and_starting_current(
    contact_a: float, contact_for: str, verdict: str
) -> None:
    rated = switch(**GAP, contact=contact_a, contact_for=contact_for)
    project = walled(fans=(fan(count=1, current_a=1.5),), switches=(rated,))
    assert told(project, "gap switch")[0].verdict == verdict
    assert circuit_check(project, invented_year(3600)).beyond == (verdict == "beyond")


def test_a_15_a_snap_switch_carries_12_a_of_motors() -> None:
    rated = switch(**GAP, contact=15.0, contact_for="motor")
    for amps, verdict in ((11.9, "fits"), (12.1, "beyond")):
        project = walled(fans=(fan(count=1, current_a=amps),), switches=(rated,))
        assert told(project, "gap switch")[0].verdict == verdict


def test_an_unrated_contact_is_told_what_it_must_bear() -> None:
    one = told(walled(fans=(fan(count=1, current_a=1.5),), switches=(switch(**GAP),)), "gap switch")[0]
    assert one.verdict == "not checked"
    assert "1.9 A of motor load" in one.told
    assert "9 A" in one.told


def test_a_limit_in_parallel_is_no_limit() -> None:
    switches = (switch(**GAP), switch(**LIMIT))
    parallel = walled(switches=switches, circuit=circuit(series=(("gap switch", "limit"),)))
    assert "beyond" in [one.verdict for one in told(parallel, "limit")]
    assert circuit_check(parallel, invented_year(3600)).beyond
    in_series = walled(switches=switches, circuit=circuit(series=("gap switch", "limit")))
    assert not circuit_check(in_series, invented_year(3600)).beyond


def test_a_switch_left_out_of_the_circuit_is_told() -> None:
    project = walled(switches=(switch(**GAP), switch(**LIMIT)), circuit=circuit(series=("gap switch",)))
    assert any("switches nothing" in one.told for one in told(project, "limit"))


def test_a_limit_that_a_year_never_reaches_is_told() -> None:
    year = invented_year(3600)
    n = len(year.table.time)
    year = with_table(year, room_c=np.full(n, 20.0), gap_top_c=np.full(n, 40.0))
    project = walled(switches=(switch(**GAP), switch(**LIMIT)))
    assert any("never acts" in one.told for one in told(project, "limit", year))
    assert any("never acts" in one.told for one in told(project, "gap switch", year))
    warm = with_table(year, room_c=np.full(n, 25.0), gap_top_c=np.full(n, 44.0))
    assert not any("never acts" in one.told for one in circuit_check(project, warm).findings)
    # higher up it is warmer: 24 C are reached at 4.1 m when the mean is 22.9 C, by 0.5 K/m over 2.4 m
    high = switch(**LIMIT, height=4.1)
    lifted = with_table(year, room_c=np.full(n, 22.9), gap_top_c=np.full(n, 44.0))
    assert not any("never acts" in one.told for one in told(walled(switches=(high,)), "limit", lifted))


def test_fans_straight_on_their_module_have_no_limit() -> None:
    project = walled(fans=(fan(supply="pv"),), switches=(switch(**LIMIT),))
    assert any("no room limit" in one.told for one in told(project, "fans on the module"))


def test_hunting_is_told_by_starts() -> None:
    year = invented_year(3600)
    n = len(year.table.time)
    often = np.zeros(n)
    often[10:14] = 8.0
    year = with_table(year, fan_starts=often, fan_share=(often > 0.0).astype(float))
    assert starts(year) == (32.0, 32.0, 8.0)
    (one,) = told(walled(), "fans", year)
    assert one.verdict == "look"
    assert "hunt" in one.told


CABLES = [
    # Witness: Ohm's law by hand, out and back: 2 x 20 m x 10 A x 0.0175 x (1 + 0.00393 x 50) / 2.5 mm2 = 3.35 V.
    ({"cable_m": 20.0, "wire_m2": 2.5e-6}, 10.0, 120.0, 3.35, "fits"),
    # Witness: circular-mil rule of the trade: 3 A over 80 ft of 14 AWG: 1.51 V, 1.3 % of 120 V (12.9 ohm cmil/ft).
    ({"cable_m": 24.384, "wire_gauge": 14}, 3.0, 120.0, 1.51, "fits"),
    # ... and 3 A at 12 V over 25 ft: 0.47 V, 3.9 %: too much for the 3 % that is recommended.
    ({"cable_m": 7.62, "wire_gauge": 14}, 3.0, 12.0, 0.47, "look"),
    ({"cable_m": 7.62, "wire_gauge": 10}, 3.0, 12.0, 0.186, "fits"),
]


@pytest.mark.parametrize(("keys", "amps", "volts", "drop", "verdict"), CABLES)
def test_the_cables_drop(keys: dict[str, Any], amps: float, volts: float, drop: float, verdict: str) -> None:
    project = walled(fans=(fan(count=1, current_a=amps, voltage_v=volts),), circuit=circuit(**keys))
    (one,) = told(project, "cable")
    assert one.verdict == verdict
    assert float(one.told.split(" V of")[0]) == approx(drop, rel=0.04)


def test_without_length_or_copper_the_cable_is_not_checked() -> None:
    assert told(walled(circuit=circuit(cable_m=10.0)), "cable")[0].verdict == "not checked"


def test_every_finding_defers_to_code_and_electrician() -> None:
    found = circuit_check(walled(switches=(switch(**GAP), switch(**LIMIT))), invented_year(3600))
    assert found.findings
    assert all(one.caution == CAUTION and one.source for one in found.findings)
    assert "licensed electrician" in CAUTION


def test_the_next_usual_wire_by_hand() -> None:
    # Witness: ASTM B258: 14 AWG 2.08 mm2, 12 AWG 3.31 mm2, 18 AWG 0.823 mm2, 20 AWG 0.519 mm2.
    assert next_wire(0.55e-6, by_gauge=True) == "18 gauge"
    assert next_wire(2.07e-6, by_gauge=True) == "14 gauge"
    assert next_wire(2.09e-6, by_gauge=True) == "12 gauge"
    assert next_wire(0.55e-6, by_gauge=False) == "0.75 mm2"
    assert next_wire(2.5e-6, by_gauge=False) == "2.5 mm2"
    assert next_wire(1e-3, by_gauge=True) == "no usual gauge"
