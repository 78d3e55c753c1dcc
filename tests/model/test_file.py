"""Reading and writing project files: what is accepted, and the one line for everything that is not."""

from __future__ import annotations

import os
import stat

import pytest
from pytest import approx

import noonwall
from fakes.projects import plain_text
from noonwall.errors import NoonwallError, OutputError, ProjectError
from noonwall.model import disk, file
from noonwall.model.templates import demo_text

DEMO = demo_text()
PLAIN = plain_text()


def put(folder, content):
    path = folder / "noonwall.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def told(text):
    with pytest.raises(ProjectError) as caught:
        file.from_text(text)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def changed(old, new):
    assert old in DEMO
    return DEMO.replace(old, new, 1)


# Witness: the demo as its description gives it (46.1 N, 67.8 W, 150 m; 9.2 x 2.4 m, 8 deg east of south ...).
def test_the_demo_reads_as_described(tmp_path):
    project = noonwall.load(put(tmp_path, DEMO))
    site, shop, wall = project.site, project.shop, project.wall
    assert (site.latitude_deg, site.longitude_deg, site.elevation_m) == (46.1, -67.8, 150.0)
    assert (shop.width_m, shop.length_m, shop.eaves_m) == (9.6, 12.8, 3.4)
    assert (wall.azimuth_deg, wall.width_m, wall.height_m, wall.gap_m) == (172.0, 9.2, 2.4, 0.09)
    for row in (wall.vents.bottom, wall.vents.top):
        assert (row.count, row.width_m, row.height_m) == (5, 0.36, 0.1)
    (fan,), (switch,) = project.fans, project.switches
    assert (fan.count, fan.row, fan.flow_m3_s) == (3, "top", 0.1)
    assert (switch.close, switch.open, switch.spot) == (43.0, 32.0, "gap top")
    assert (wall.flap, wall.overhang) == (None, None)
    (field,) = project.pv
    assert (field.out_m, field.lower_edge_above_glazing_m, field.tilt_deg > 0.0) == (1.6, -0.5, True)
    assert wall.glazing.kind == "twin-wall polycarbonate 10 mm"
    assert (shop.heater.setpoint_c, shop.heater.fuel) == (5.0, "propane")
    assert wall.absorber.layers[0].thickness_m == 0.012
    assert project.invented


def test_a_folder_and_its_file_are_the_same_project(tmp_path):
    path = put(tmp_path, DEMO)
    assert noonwall.load(tmp_path) == noonwall.load(path) == noonwall.load(str(tmp_path))


def test_units_of_both_worlds_give_the_same_wall():
    us = DEMO.replace('"90 mm"', '"0.295276 ft"').replace('"43 C"', '"109.4 degF"')
    metric, other = file.from_text(DEMO), file.from_text(us)
    assert other.wall.gap_m == approx(metric.wall.gap_m, rel=1e-5)
    assert other.switches[0].close == approx(43.0)


def test_bare_numbers_are_si():
    text = DEMO.replace('gap = "90 mm"', "gap = 0.09").replace('close = "43 C"', "close = 43")
    assert file.from_text(text) == file.from_text(DEMO)


def test_byte_order_mark_and_dos_lines_read(tmp_path):
    put(tmp_path, b"\xef\xbb\xbf" + DEMO.replace("\n", "\r\n").encode())
    assert noonwall.load(tmp_path) == file.from_text(DEMO)


def test_a_difference_switch_takes_kelvin_above_the_room():
    text = DEMO.replace('kind = "close on rise"', 'kind = "difference"')
    text = text.replace('close = "43 C"', 'close = "15 degF"').replace('open = "32 C"', 'open = "3 K"')
    switch = file.from_text(text).switches[0]
    assert (switch.close, switch.open) == (approx(25.0 / 3.0), 3.0)


LINES = [
    (
        'gap = "90 mm"',
        "gap = 9",
        'noonwall.toml:127: wall.gap: 9 m is outside 0.01-0.6 m; did you mean "9 cm"?',
    ),
    (
        'gap = "90 mm"',
        'gap = "9 m"',
        'noonwall.toml:127: wall.gap: 9 m is outside 0.01-0.6 m; did you mean "9 cm"?',
    ),
    ('gap = "90 mm"', 'gap = "9 ft"', "9 ft is outside 0.394 to 23.6 in"),
    ('gap = "90 mm"', "gap = true", "wall.gap: true is not a length"),
    ('gap = "90 mm"', 'gap = ["90 mm"]', "wall.gap: a list is not a length"),
    ('gap = "90 mm"', "gap = 2026-01-01", "is not a length"),
    ('gap = "90 mm"', "gap = nan", "not a finite number"),
    ('gap = "90 mm"', 'gap = "90 W"', "is a power, wanted a length"),
    (
        "[wall.glazing]",
        "[wall.glasing]",
        "noonwall.toml:130: unknown key wall.glasing; nearest is wall.glazing",
    ),
    ('foot = "0.5 m"', 'foot_m = "0.5 m"', "unknown key wall.foot_m; nearest is wall.foot"),
    ('latitude = "46.1 N"', 'latitude = "461 N"', "site.latitude: 461 N is outside -66 to 72 deg"),
    ("count = 5", "count = 2.5", "wall.vents.bottom.count: 2.5 is not a whole number"),
    ("count = 5", "count = true", "true is not a whole number"),
    ("count = 5", "count = -1", "-1 is outside 1-200"),
    ("count = 5", 'count = "five"', '"five" is not a whole number'),
    ('ground = "grass"', 'ground = "gras"', '"gras" is none of "grass"'),
    ('ground = "grass"', "ground = 3", "site.ground: 3 is none of"),
    ("invented = true", 'invented = "yes"', '"yes" is not true or false'),
    ('name = "gap switch"', "name = 3", "3 is not text in quotes"),
    ('name = "gap switch"', 'name = "a\\nb"', "line break"),
    ('name = "gap switch"', f'name = "{"x" * 300}"', "300 letters"),
    ('efficiency = "80 %"', "efficiency = 80", 'did you mean "80 %"?'),
    ("[[fan]]", "[fan]", "write [[fan]] once for each"),
    ("[site]", "[[site]]", "write [site] with its keys below"),
    ("workdays_only = true", "workdays_only = 1", "1 is not true or false"),
    ("by_hour = [0,", 'by_hour = ["x",', "shop.gains.by_hour"),
    ('snow = "auto"', 'snow = "always"', '"always" is none of "auto", "none"'),
    ("[wall.vents.top]\ncount = 5", "[wall.vents.top]", "missing key wall.vents.top.count"),
    ('latitude = "46.1 N"\n', "", "missing key site.latitude"),
    ("[[fan]]\ncount = 3", "[[fan]]\n[[fan]]\ncount = 3", "missing keys fan[1].flow, fan[1].power"),
    ("[site]", "[site", "does not read as TOML"),
    ('name = "Boat-repair shed"', 'name = "Boat', "noonwall.toml:5: name: does not read as TOML"),
]


@pytest.mark.parametrize(("old", "new", "expected"), LINES)
def test_each_fault_has_its_line(old, new, expected):
    assert expected in told(changed(old, new))


def test_a_text_without_anything_lists_all_that_is_missing():
    line = told('name = "x"')
    for key in (
        "site.latitude",
        "site.longitude",
        "shop.length",
        "shop.part",
        "wall.width",
        "wall.absorber.layer",
        "wall.vents.bottom.count",
        "wall.vents.top.height",
    ):
        assert key in line
    assert "shop.heater" not in line


def test_all_problems_are_there_for_a_face_that_wants_them():
    text = (
        changed('gap = "90 mm"', 'gap = "90 W"').replace('"46.1 N"', '"x"').replace('flow = "0.10 m3/s"', "")
    )
    project, problems = file.examine(text)
    assert project is None
    assert [p.key for p in problems] == ["site.latitude", "wall.gap", ""]
    assert [p.line for p in problems] == [10, 127, 161]
    assert problems[-1].text.startswith('missing key fan[1].flow; write flow = "0.1 m3/s" in [[fan]]')
    assert "(and 2 more to mend)" in told(text)


OBSTACLE = """
[[obstacle]]
kind = "tree"
form = "conifer"
name = "fir"
east = 0
north = -20
height = "12 m"
crown_width = "5 m"
"""


def test_obstacles_are_told_apart_by_their_kind():
    assert file.from_text(PLAIN + OBSTACLE).obstacles[0].height_m == 12.0
    assert 'obstacle[1].kind: "tre" is none of' in told(PLAIN + OBSTACLE.replace('"tree"', '"tre"'))
    assert "obstacle[1].kind: missing" in told(PLAIN + OBSTACLE.replace('kind = "tree"\n', ""))
    assert "unknown key obstacle[1].hight; nearest is obstacle[1].height" in told(
        PLAIN + OBSTACLE.replace("height", "hight")
    )
    assert "missing key obstacle[1].crown_width" in told(
        PLAIN + OBSTACLE.replace('crown_width = "5 m"\n', "")
    )
    assert "obstacle[1].height: 12 W" in told(PLAIN + OBSTACLE.replace("12 m", "12 W")).replace('"', "")


BROKEN = [
    (b"", "empty"),
    (b"  \n \n", "empty"),
    (b"\xff\xfe" + "name = 1".encode("utf-16-le"), "UTF-16"),
    ("name = 1".encode("utf-16-be"), "zero bytes"),
    (b"\x7fELF\x00\x01", "zero bytes"),
    (b'name = "\xe9"\n', "noonwall.toml:1: a byte that is no UTF-8"),
    (b"# ok\nname = \xe9\n", "noonwall.toml:2: a byte that is no UTF-8"),
    (b"x" * 1_100_000, "larger than 1000 kB"),
    (b"a = " + b"[" * 50_000 + b"]" * 50_000, "nested too deep"),
    (b"a = " + b"[" * 40 + b"]" * 40, "nested too deep"),
    (b"a = " + b"{a=" * 60 + b"1" + b"}" * 60, "nested too deep"),
    (b"[a]\n" * 30_000, "more than 2000 tables"),
    (b"".join(b"[[fan]]\n" for _ in range(100_000)), "more than 2000 tables"),
    (b".".join([b"a"] * 20_000) + b" = 1", "nested too deep"),
    (b"a = {" + b"'a' . " * 20_000 + b"a = 1}", "nested too deep"),
    (b"a = '" + b"a" * 900_000 + b"'", "unknown key a"),
    (b"[shop]\npart = [" + b"{}," * 300_000 + b"]", "holds 300000 members, wanted 1000 at most"),
    (b"[wall.vents]\nclosed = [" + b"1," * 400_000 + b"]", "holds 400000 members, wanted 1000 at most"),
    (b"".join(b"key%d = 1\n" % i for i in range(60_000)), "unknown key key0"),
    (b"[site]\n" + b"".join(b"key%d = {}\n" % i for i in range(60_000)), "unknown key site.key0"),
    (b"".join(b"[[fan]]\nflow = 'x'\n" for _ in range(1900)), "fan: holds 1900 members"),
    (b"".join(b"[[fan]]\nflow = 'x'\n" for _ in range(900)), "fan[1].flow"),
    (b"a = " + b"9" * 5000, "TOML"),
    (b"a = 1\na = 2", "noonwall.toml:2"),
    (b"\x01\x02\x03", "TOML"),
    (b"<html><body>not found</body></html>", "TOML"),
    (b'{"name": "json"}', "TOML"),
]


@pytest.mark.parametrize(("content", "expected"), BROKEN)
def test_files_that_are_no_projects_are_refused_in_one_line(tmp_path, content, expected):
    put(tmp_path, content)
    with pytest.raises(ProjectError) as caught:
        noonwall.load(tmp_path)
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 400


def test_places_that_are_no_files_are_refused(tmp_path):
    (tmp_path / "noonwall.toml").mkdir()
    with pytest.raises(ProjectError, match="folder"):
        noonwall.load(tmp_path)
    with pytest.raises(ProjectError, match="no such file"):
        noonwall.load(tmp_path / "nowhere")
    with pytest.raises(ProjectError, match=r"no noonwall\.toml"):
        noonwall.load(tmp_path / "noonwall.toml")
    with pytest.raises(ProjectError):
        noonwall.load("a\0b")
    with pytest.raises(ProjectError):
        noonwall.load("x" * 5000)


def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "noonwall.toml")
    with pytest.raises(ProjectError, match="no ordinary file"):
        noonwall.load(tmp_path)


@pytest.mark.skipif(os.getuid() == 0, reason="root may read everything")
def test_no_permission_is_told(tmp_path):
    put(tmp_path, DEMO).chmod(0)
    with pytest.raises(ProjectError, match="no permission"):
        noonwall.load(tmp_path)


def test_no_permission_is_told_for_root_too(tmp_path, monkeypatch):
    path = put(tmp_path, DEMO)

    def denied(*_args, **_keys):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(path), "open", denied)
    with pytest.raises(ProjectError, match="no permission to read it"):
        noonwall.load(path)


def test_saving_writes_all_and_keeps_rights(tmp_path):
    path = put(tmp_path, DEMO)
    path.chmod(0o640)
    file.save(tmp_path, changed('gap = "90 mm"', 'gap = "80 mm"'))
    assert noonwall.load(tmp_path).wall.gap_m == 0.08
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [p.name for p in tmp_path.iterdir()] == ["noonwall.toml"]


def test_saving_through_a_link_keeps_the_link(tmp_path):
    path = put(tmp_path, DEMO)
    link = tmp_path / "other.toml"
    link.symlink_to(path)
    file.save(link, changed('gap = "90 mm"', 'gap = "80 mm"'))
    assert link.is_symlink()
    assert noonwall.load(path).wall.gap_m == 0.08


def test_what_is_no_project_is_not_saved(tmp_path):
    put(tmp_path, DEMO)
    with pytest.raises(ProjectError):
        file.save(tmp_path, changed('gap = "90 mm"', 'gap = "80 W"'))
    assert (tmp_path / "noonwall.toml").read_text() == DEMO


@pytest.mark.parametrize("when", ["fsync", "replace"])
def test_a_save_that_fails_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, when):
    path = put(tmp_path, DEMO)

    def full(*_args):
        raise OSError(28, "No space left on device")

    if when == "fsync":
        monkeypatch.setattr(disk.os, "fsync", full)
    else:
        monkeypatch.setattr(type(path), "replace", full)
    with pytest.raises(OutputError, match="No space left"):
        file.save(tmp_path, changed('gap = "90 mm"', 'gap = "80 mm"'))
    assert path.read_text() == DEMO
    assert [p.name for p in tmp_path.iterdir()] == ["noonwall.toml"]


def test_saving_into_nowhere_is_told(tmp_path):
    with pytest.raises(NoonwallError, match="cannot be written"):
        file.save(tmp_path / "a" / "b.toml", DEMO)


MONTH = "{ ghi_kwh_m2_day = 3, temp_mean_c = -5, wind = 2 }"
MONTHS = f"[weather]\nmonths = [{', '.join([MONTH] * 12)}]\n"


def test_typed_months_take_units_too():
    text = MONTHS.replace("= -5", '= "23 degF"').replace("= 2 }", '= "5 mph" }')
    text = text.replace("= 3", '= "1010 Btu/ft2 day"')
    months = file.from_text(f"{DEMO}\n{text}").weather.months
    # Witness: 1 Btu/ft2 is 11,356.53 J/m2 (NIST SP 811), 23 F is -5 C, 1 mph is 0.44704 m/s.
    assert months[0]["ghi_kwh_m2_day"] == approx(1010 * 11356.53 / 3.6e6, rel=1e-6)
    assert months[11]["temp_mean_c"] == approx(-5.0)
    assert months[3]["wind"] == approx(2.2352)


def test_typed_months_know_the_words_that_the_weather_knows():
    from noonwall.climate.places import TYPED
    from noonwall.model.project import MONTH_FIGURES

    assert set(MONTH_FIGURES) == set(TYPED)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("wind = 2", "wimd = 2", 'unknown word "wimd"'),
        ("wind = 2", 'wind = "2 kg"', "is a mass, wanted a speed"),
        (MONTH, "3", "3 is not a table"),
        ("wind = 2 }]", "wind = nan }]", "not a finite number"),
    ],
)
def test_typed_months_are_read_with_care(old, new, expected):
    line = told(DEMO + "\n" + MONTHS.replace(old, new, 1))
    assert "weather.months: " in line
    assert expected in line


def test_tables_read_twice_are_the_callers_own() -> None:
    text = '[wall]\ngap = "90 mm"\n'
    first = file.parse_toml(text)
    first["wall"]["gap"] = "1 m"
    assert file.parse_toml(text) == {"wall": {"gap": "90 mm"}}
