"""A design written into the project's text is the design that was studied, for each kind of thing."""

from __future__ import annotations

import pytest
from pytest import approx

from noonwall.errors import ProjectError
from noonwall.model.edit import add_item, set_values
from noonwall.model.file import from_text
from noonwall.model.obstacle import Awning
from noonwall.model.templates import create
from noonwall.shade.site import OVERHANG
from noonwall.studies.awning import M_PER_FT, Design, _bounds, _described, _designs, _thing, hung
from noonwall.studies.hang import write_hung


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the demo's text; modules and an overhang hang over its glazing."""
    made = create(tmp_path_factory.mktemp("hang") / "shed", demo=True).read_text()
    return set_values(made, {"wall.overhang.depth": "1.1 m", "wall.overhang.above": "0.4 m"})


def written(text: str, name: str, design: Design | None, **more):
    return from_text(write_hung(text, from_text(text), name, design, "metric", **more))


def test_modules_and_awning_hang_as_the_study_hung_them(text: str) -> None:
    text = add_item(text, "obstacle", {"kind": "awning", "name": "sail", "depth": "1 m", "gap": "0.1 m"})
    design = Design(1.8, 0.25, 30.0)
    for name in ("modules", "sail"):
        project = from_text(text)
        wanted = hung(project, _thing(project, name), design)
        found = written(text, name, design)
        assert _described(found, _thing(found, name)).depth_m == 1.8
        assert _described(found, _thing(found, name)).height_m == approx(0.25, abs=0.01)
        assert found.pv[0].tilt_deg == wanted.pv[0].tilt_deg
        assert len(found.obstacles) == len(wanted.obstacles)


def test_the_overhang_stays_the_roofs_own_edge_and_can_go(text: str) -> None:
    found = written(text, OVERHANG, Design(0.6, 0.25, 0.0))
    assert (found.wall.overhang.depth_m, found.wall.overhang.above_m) == (0.6, 0.25)
    assert written(text, OVERHANG, None).wall.overhang is None
    assert not written(text, "modules", None).pv


def test_a_new_awning_is_put_in_and_one_that_is_gone_is_told(text: str) -> None:
    found = written(text, "awning", Design(1.0, 0.0, 15.0), new=True)
    sail = found.obstacles[-1]
    assert isinstance(sail, Awning)
    assert (sail.name, sail.depth_m, sail.tilt_deg) == ("awning", 1.0, 15.0)
    with pytest.raises(ProjectError, match='no "awning" any more'):
        written(text, "awning", None)


def test_only_what_can_be_built_is_tried_in_whole_or_half_feet(text: str) -> None:
    project = from_text(text)
    thing = _thing(project, OVERHANG)
    within = _bounds(project, thing)
    found = list(_designs(project, thing, within, feet=True))
    assert found
    for design in found:
        assert design.depth_m <= 6.0 * M_PER_FT + 1e-3
        assert design.height_m <= project.shop.eaves_m - project.wall.foot_m - project.wall.height_m + 1e-3
        assert (2.0 * design.depth_m / M_PER_FT) == approx(round(2.0 * design.depth_m / M_PER_FT), abs=1e-2)
        assert design.tilt_deg == 0.0
