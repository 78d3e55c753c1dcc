"""``noonwall learn``: from a store of readings to learned.toml, and a year with it."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

import numpy as np

from logs.invented import ROLES, invent
from logs.truths import SCENERY
from noonwall.logs.learn import keep
from noonwall.logs.records import Channel, Conversion
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed


def fill(folder: Path, days: int) -> None:
    """Put invented readings of some winter days into a project's store."""
    log = invent(3, days=days, step_s=1800)
    measure = {"fan": "state", "sun": "irradiance", "humidity": "share"}
    plain = Conversion("")
    with Store(folder) as store, store.importing("logger.csv", "some content", {}, 0) as intake:
        for name, values in log.columns.items():
            if name == "absorber":
                continue
            channel = Channel(
                name,
                ROLES.get(name, name),
                measure.get(name, "temperature"),  # type: ignore[arg-type]
                kind="state" if name == "fan" else "mean",
                plane="wall" if name == "sun" else None,
                stamp="begin",
            )
            number = intake.channel(channel, name, plain)
            intake.add(number, log.time_s, values.astype(np.float64))


def plain_site(project: Path) -> None:
    """Take away what stands around: its shade takes its time."""
    file = project / "noonwall.toml"
    parts = re.split(r"(?m)^(?=\[)", file.read_text())
    file.write_text("".join(part for part in parts if not part.startswith(SCENERY)))


def leakier(file: Path) -> None:
    """Let the readings have told a loss and a gap leak that are half as much again."""
    parts = re.split(r"(?m)^(?=\[)", file.read_text())
    for i, part in enumerate(parts):
        if part.startswith(("[value.shop_loss]", "[value.gap_leak]")):
            parts[i] = re.sub(r"(?m)^factor = .*$", "factor = 1.5", part)
    file.write_text("".join(parts))


def test_without_readings_it_says_what_is_missing(typed: Typed, project: Path) -> None:
    told = typed("learn", project)
    assert told.code == 2
    assert "readings add" in told.err
    assert told.err.count("\n") == 1


def test_a_year_without_learned_values_says_where_they_come_from(typed: Typed, project: Path) -> None:
    told = typed("year", project, "--learned")
    assert told.code == 2
    assert "noonwall learn" in told.err


def test_it_learns_writes_and_the_year_uses_it(typed: Typed, project: Path, tmp_path: Path) -> None:
    plain_site(project)
    fill(project, 16)
    before = (project / "noonwall.toml").read_text()
    picture = tmp_path / "learned.png"
    told = typed("learn", project, "--step", "30min", "--json", "--png", picture)
    assert told.code == 0, told.err
    document = json.loads(told.out)
    assert document["schema"] == "noonwall.learn/1"
    keys = {value["key"] for value in document["values"]}
    assert {"shop_loss", "air_leakage", "thermal_mass", "ground", "glazing_absorber", "fan_flow"} <= keys
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert (project / "noonwall.toml").read_text() == before
    assert {item.key for item in keep.read(project)} == keys
    year = typed("year", project, "--learned", "--step", "1h")
    assert year.code == 0, year.err
    assert "learned" in year.err
    leakier(keep.learned_file(project))
    night = [typed("night", project, "--step", "1h", "--json", *more) for more in ((), ("--learned",))]
    assert night[1].code == 0, night[1].err
    assert night[0].out != night[1].out
    hot = typed("hot", project, "--learned", "--json")
    assert hot.code in (0, 1), hot.err
    assert all("learned" in told.err for told in (night[1], hot))
