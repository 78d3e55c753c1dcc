from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from logs.faults import FAULTS, SITE, run, stored
from logs.invented import Log, invent
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.maps import typed
from noonwall.logs.quality.check import check, check_and_keep
from noonwall.logs.records import Channel, Conversion
from noonwall.logs.series import series
from noonwall.logs.store import Store
from noonwall.model.site import Site

MEASURED = Path(__file__).parents[3] / "shared" / "measured"
SEEDS = range(400, 403)  # none of them was looked at while the checks were tuned


@pytest.mark.parametrize("name", FAULTS)
def test_seeded_faults_are_found_and_little_else(name: str) -> None:
    outcomes = [run(name, seed) for seed in SEEDS]
    hits = sum(outcome.hits for outcome in outcomes)
    missed = [fault for outcome in outcomes for fault in outcome.misses or []]
    false = {(f.kind, f.from_s) for outcome in outcomes for f in outcome.false or []}
    assert hits >= 0.75 * (hits + len(missed)), missed
    assert len(false) <= (0 if name == "no fault" else 1), false


@pytest.mark.parametrize("first_day", [90, 170, 260])
@pytest.mark.parametrize("names", [(), ("outdoor", "shop low", "fan"), ("gap top", "gap bottom", "fan")])
def test_no_season_and_no_small_set_of_sensors_gives_false_alarms(
    first_day: int, names: tuple[str, ...], tmp_path: Path
) -> None:
    log = invent(500 + first_day, 60, 600, first_day)
    log.columns = {name: values for name, values in log.columns.items() if not names or name in names}
    with stored(log, tmp_path) as store:
        assert check(store, SITE) == ()
        assert check(store) == ()


@pytest.mark.parametrize(("step_s", "days"), [(60, 14), (900, 60), (3600, 60)])
def test_other_intervals_of_reading_give_no_false_alarms(step_s: int, days: int, tmp_path: Path) -> None:
    with stored(invent(77, days, step_s), tmp_path) as store:
        assert check(store, SITE) == ()


def hours(store: Store, role: str, log: Log) -> np.ndarray:
    found = series(store, role, int(log.time_s[0]), int(log.time_s[-1]) + 600)
    assert found is not None
    return found.value


@pytest.mark.parametrize(
    ("fault", "roles", "off_k"),
    [
        ("sensors exchanged for a while", ("outdoor", "gap top", "gap bottom", "air in", "air out"), 0.05),
        ("Fahrenheit for Celsius", ("outdoor", "gap top", "gap bottom", "air out"), 0.35),
        ("clock leaps", ("outdoor",), 0.6),
    ],
)
def test_what_is_mended_comes_out_as_it_truly_was(
    fault: str, roles: tuple[str, ...], off_k: float, tmp_path: Path
) -> None:
    for seed in SEEDS:
        (tmp_path / f"t{seed}").mkdir()
        (tmp_path / f"f{seed}").mkdir()
        truth, log = invent(seed), invent(seed)
        FAULTS[fault](log, np.random.default_rng(seed + 1000))
        with stored(truth, tmp_path / f"t{seed}") as right, stored(log, tmp_path / f"f{seed}") as wrong:
            check_and_keep(wrong, SITE)
            for role in roles:
                a, b = hours(right, role, truth), hours(wrong, role, truth)
                both = np.isfinite(a) & np.isfinite(b)
                assert both.mean() > 0.97
                away = np.abs(a[both] - b[both])
                # a day at either end of the stretch may be told wrong
                assert float(np.quantile(away, 0.95)) < off_k, (seed, role)


def test_two_loggers_whose_clocks_differ_are_told_apart_by_the_fan(tmp_path: Path) -> None:
    log = invent(31, 40)
    with Store(tmp_path) as store:
        for name, shift in (("fan", 0), ("air out", 3000)):
            measure = "state" if name == "fan" else "temperature"
            channel = Channel(name, name, measure, "state" if name == "fan" else "point")  # type: ignore[arg-type]
            with store.importing(name, name, {}, 0) as intake:
                intake.add(
                    intake.channel(channel, name, Conversion("")), log.time_s + shift + 7, log.columns[name]
                )
        found = [item for item in check(store, SITE) if item.kind == "clocks apart"]
        assert found
        assert all(item.evidence["minutes"] == pytest.approx(50.0, abs=10.0) for item in found)
        assert {item.verdict for item in found} == {"used"}


def test_conflicts_and_repeats_are_told(tmp_path: Path) -> None:
    shop = Channel("bench", "shop", "temperature")
    times = 1_736_000_000 + 600 * np.arange(50, dtype=np.int64)
    with Store(tmp_path) as store:
        for content, values, stamps in (
            ("a", np.full(50, 12.0), np.append(times[:49], times[3])),
            ("b", np.full(50, 14.0), times),
        ):
            with store.importing(content, content, {}, 0) as intake:
                intake.add(intake.channel(shop, "x", Conversion("C")), stamps, values)
        found = {item.kind: item for item in check(store)}
        assert found["conflict"].evidence == {"stamps": 49.0, "largest_difference": 2.0}
        assert found["repeat"].evidence == {"stamps": 1.0}


def test_an_empty_store_has_nothing_doubtful(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        assert check(store, SITE) == ()


# Witness: readings of a real house, doi 10.1080/19401493.2023.2243602; its stamps are standard time (UTC-5)
HOUSE = Site(latitude_deg=46.34, longitude_deg=-72.58, elevation_m=20.0)


def house(tmp_path: Path, file: str, *zone: str) -> Store:
    path = MEASURED / file
    if not path.exists():
        pytest.skip(f"the measured data are not here ({path.name})")
    rooms = [f"T0{i}_TEMP=shop; unit=C" for i in range(1, 10)]
    words = typed([*rooms, "Text=outdoor; unit=C", "GHI=sun; unit=W/m2; plane=horizontal", *zone])
    store = Store(tmp_path)
    import_file(store, guess_file(path, said=words))
    return store


def test_a_real_house_gives_no_false_alarms(tmp_path: Path) -> None:
    for i, (file, zone) in enumerate(
        [("quebec-house-2019.csv", ("zone=UTC-5",)), ("quebec-house-2023.csv", ())]
    ):
        (tmp_path / str(i)).mkdir()
        with house(tmp_path / str(i), file, *zone) as store:
            assert {item.kind for item in check(store, HOUSE)} <= {"gap"}


def test_the_sun_tells_that_a_real_houses_clock_does_not_save_daylight(tmp_path: Path) -> None:
    with house(tmp_path, "quebec-house-2019.csv", "zone=America/Toronto") as store:
        found = [item for item in check(store, HOUSE) if item.kind == "clock"]
        assert {item.channel for item in found} >= {"GHI", "Text"}
        assert all(item.evidence["minutes"] == pytest.approx(-60.0, abs=15.0) for item in found)
