"""The pieces of a wall: each stands at its own node, with the limits of what it is made of."""

from __future__ import annotations

import pytest

from fakes.walls import walled
from noonwall.assess.pieces import FRAME, STUDS, pieces_of
from noonwall.engine.layers import chain_of
from noonwall.model.catalogue import resolve_layer
from noonwall.model.file import from_text
from noonwall.model.layers import Layer
from noonwall.model.templates import demo_text


def by_name(project):
    return {piece.name: piece for piece in pieces_of(project)}


def test_pieces_of_the_demo_from_outdoors_to_the_room() -> None:
    names = [piece.name for piece in pieces_of(walled())]
    assert names == [
        "glazing, outer skin", "glazing, inner skin", "air in the gap", "absorber, face", FRAME, "absorber, back",
        STUDS, "mineral wool, its hot face", "oriented strand board, its hot face", "wall's face in the room",
    ]  # fmt: skip


def test_frame_and_studs_are_as_hot_as_what_they_touch() -> None:
    found = by_name(walled())
    assert (found[FRAME].side, found[FRAME].node) == (
        found["absorber, face"].side,
        found["absorber, face"].node,
    )
    assert found[STUDS].node == found["absorber, back"].node
    assert found[FRAME].burns
    assert {limit.nature for limit in found[FRAME].limits} == {"strength", "lasting", "minutes"}
    assert found[FRAME].label == "frame (softwood)"


def test_layers_are_told_by_the_face_turned_to_the_sun() -> None:
    project = walled()
    layers = [resolve_layer(x) for x in (*project.wall.absorber.layers, *project.wall.backing)]
    ends = chain_of(layers).last_of_layer
    found = by_name(project)
    assert found["mineral wool, its hot face"].node == ends[0]
    assert found["oriented strand board, its hot face"].node == ends[1]
    assert found["wall's face in the room"].node == ends[2]


def test_metal_studs_and_frame_have_no_limit_and_do_not_burn() -> None:
    frame = walled().wall.frame.model_copy(update={"material": "steel sheet", "studs": "softwood"})
    found = by_name(walled({"frame": frame}))
    assert not found[FRAME].burns
    assert found[FRAME].limits == ()
    assert found[STUDS].burns
    bare = walled().wall.frame.model_copy(update={"share": 0.0})
    assert FRAME not in by_name(walled({"frame": bare}))


@pytest.mark.parametrize("arrangement", ["air in front", "air behind", "mesh"])
def test_every_arrangement_has_its_pieces(arrangement: str) -> None:
    absorber = walled().wall.absorber.model_copy(update={"arrangement": arrangement})
    found = by_name(walled({"absorber": absorber}))
    face = found["absorber mesh" if arrangement == "mesh" else "absorber, face"]
    assert face.side == {"air in front": "right", "air behind": "left", "mesh": "mesh"}[arrangement]
    if arrangement == "air behind":
        assert face.node == 2
        assert found["absorber, back"].node > 2
    assert found[STUDS].side == "right"
    assert found[STUDS].node == (3 if arrangement == "air in front" else 0)


def test_a_makers_figure_goes_before_the_catalogues() -> None:
    glazing = walled().wall.glazing.model_copy(update={"service_limit_c": 120.0})
    skin = by_name(walled({"glazing": glazing}))["glazing, inner skin"]
    assert [(limit.value_c, limit.seen) for limit in skin.limits] == [(120.0, "maker"), (128.0, "quoted")]
    assert all(limit.published for limit in skin.limits)


def test_an_unknown_layer_counts_as_burning_and_has_no_limit() -> None:
    layers = (Layer(r=2.0), Layer(material="oriented strand board", thickness=0.011))
    found = by_name(walled({"backing": layers}))
    unknown = found["layer 1 behind the absorber, its hot face"]
    assert unknown.burns
    assert unknown.limits == ()


def test_a_fans_own_limit_stands_beside_the_cables() -> None:
    project = walled()
    fan = from_text(demo_text()).fans[0].model_copy(update={"hottest_air_c": 80.0})
    told = next(p for p in pieces_of(project.model_copy(update={"fans": (fan,)})) if p.side == "gap").limits
    assert [(one.name, one.value_c, one.published) for one in told] == [
        ("plain cable", 60.0, False),
        ("fans, their maker's figure", 80.0, True),
    ]
    other = fan.model_copy(update={"hottest_air_c": None})
    told = next(
        p for p in pieces_of(project.model_copy(update={"fans": (fan, other)})) if p.side == "gap"
    ).limits
    assert [one.name for one in told] == ["fans and plain cable", "fans, their maker's figure"]
