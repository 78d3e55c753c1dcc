"""The project as it was when readings were read in: kept with an import, gone with it, held against what stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.lived import shed
from noonwall.logs import maps
from noonwall.logs.as_was import changed_parts, kept_with, project_of
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.period import Period
from noonwall.logs.store import Store
from noonwall.model.disk import PROJECT_FILE
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from pathlib import Path

ROWS = "\n".join(f"2025-01-0{d} 12:00,{d}.5" for d in range(1, 6))
LATER = "\n".join(f"2025-03-0{d} 12:00,{d}.5" for d in range(1, 6))
JANUARY = Period(np.datetime64("2025-01-01"), 5, -5.0)
MARCH = Period(np.datetime64("2025-03-01"), 5, -5.0)
FLAP = "\n[wall.flap]\n"


def read_in(folder: Path, store: Store, rows: str) -> int:
    path = folder / f"{rows[:10]}.csv"
    path.write_text(f"time,shop C\n{rows}\n")
    guess = guess_file(path, said=maps.typed(["zone=UTC-5", "dates=ymd", "shop C=shop at 1.5 m; unit=C"]))
    return import_file(store, guess).id


def test_each_import_keeps_the_project_and_takes_it_along(tmp_path: Path) -> None:
    project = tmp_path / PROJECT_FILE
    project.write_text(demo_text())
    with Store(tmp_path) as store:
        first = read_in(tmp_path, store, ROWS)
        project.write_text(demo_text() + FLAP)
        second = read_in(tmp_path, store, LATER)
        assert store.projects() == {first: demo_text(), second: demo_text() + FLAP}
        then, now = kept_with(store, JANUARY), kept_with(store, MARCH)
        assert then is not None and then.changed == ("the flap",)
        assert now is not None and now.changed == ()
        assert project_of(then, shed(flap=True)).wall.flap is None
        assert project_of(now, shed()).wall.flap is not None
        store.undo(second)
        assert list(store.projects()) == [first] and kept_with(store, MARCH) is None


def test_a_folder_without_a_project_keeps_none(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        read_in(tmp_path, store, ROWS)
        assert store.projects() == {} and kept_with(store, JANUARY) is None


@pytest.mark.parametrize(
    ("now", "parts"),
    [
        (demo_text(), ()),
        (f"# a remark\n{demo_text()}", ()),
        (demo_text().replace("[site]", "[site]\nground_albedo = 0.33", 1), ("the place",)),
        (None, ()),
        ("no toml at all [", ()),
    ],
)
def test_only_what_changes_a_figure_counts(now: str | None, parts: tuple[str, ...]) -> None:
    assert changed_parts(demo_text(), now) == parts
