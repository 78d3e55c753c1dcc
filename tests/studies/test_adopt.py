"""A way made the project: the text then describes exactly what was compared, and everything else stays as typed."""

from __future__ import annotations

import pytest

from fakes.projects import plain_text
from noonwall.errors import ProjectError
from noonwall.model.edit import add_item
from noonwall.model.file import from_text
from noonwall.studies import variants as ways
from noonwall.studies.adopt import adopted
from noonwall.studies.change import changed_by, remedy_words


def without_variants(text: str) -> str:
    for way in from_text(text).variants:
        text = ways.without(text, way.name)
    return text


TEXT = without_variants(plain_text())
WRITTEN = [
    *(word for word in remedy_words() if word != "fans"),
    "flap=top", "flap=5 %", "shutters=20:00..6:30", "room limit=75 F", "fans=off", "cover=none", "vent out=top",
    "metal frame=aluminium sheet", "overhang=2 ft", "overhang=none", "awning=4 ft", "wall.gap=120 mm",
    "wall.vents.closed=[['05-01','09-15']]", "shop.heater=none",
]  # fmt: skip


@pytest.mark.parametrize("written", WRITTEN)
def test_the_text_describes_what_was_compared(written: str) -> None:
    new = adopted(TEXT, written, (written,))
    assert from_text(new) == changed_by(TEXT, written, (written,)).project


def test_several_changes_at_once() -> None:
    pieces = ("flap", "room limit", "awning=4 ft", "wall.gap=120 mm")
    assert from_text(adopted(TEXT, "all", pieces)) == changed_by(TEXT, "all", pieces).project


def test_comments_and_other_lines_stay() -> None:
    text = TEXT.replace("[wall]", "# my own words\n[wall]", 1)
    new = adopted(text, "flap", ("flap",))
    assert "# my own words" in new
    assert set(text.splitlines()) <= set(new.splitlines())


def test_a_remedy_taken_away_again_leaves_the_project_as_it_was() -> None:
    once = adopted(TEXT, "awning", ("awning=4 ft", "room limit"))
    assert (
        from_text(adopted(once, "none", ("awning=none", "room limit=none"))).obstacles
        == from_text(TEXT).obstacles
    )


def test_lengths_are_written_with_the_unit_that_says_them_shortest() -> None:
    assert 'depth = "4 ft"' in adopted(TEXT, "awning", ("awning=4 ft",))


@pytest.mark.parametrize(
    ("pieces", "told"),
    [(("flop",), "no remedy is called"), (("wall.gap=9 km",), "wall.gap"), (("fans",), "fans=off")],
)
def test_what_does_not_fit_is_one_line(pieces: tuple[str, ...], told: str) -> None:
    with pytest.raises(ProjectError, match=told) as found:
        adopted(TEXT, "it", pieces)
    assert "\n" not in str(found.value)


def named(text: str) -> list[tuple[str, tuple[str, ...]]]:
    return [(way.name, way.change) for way in from_text(text).variants]


def test_variants_are_added_copied_renamed_rewritten_and_taken_away() -> None:
    text = ways.with_variant(TEXT, ("flap", "wall.gap=120 mm"))
    assert named(text) == [("flap + wall.gap=120 mm", ("flap", "wall.gap=120 mm"))]
    text = ways.copied(text, "flap + wall.gap=120 mm")
    assert [name for name, _ in named(text)] == ["flap + wall.gap=120 mm", "flap + wall.gap=120 mm 2"]
    text = ways.renamed(text, "flap + wall.gap=120 mm 2", "  wide  gap ")
    text = ways.rewritten(text, "wide gap", ("wall.gap=150 mm",))
    assert named(text)[1] == ("wide gap", ("wall.gap=150 mm",))
    text = ways.without(text, "flap + wall.gap=120 mm")
    assert named(text) == [("wide gap", ("wall.gap=150 mm",))]
    assert ways.without(text, "wide gap").strip() == TEXT.strip()


def test_a_variant_made_the_project_is_no_variant_any_more() -> None:
    text = ways.with_variant(ways.with_variant(TEXT, ("flap",)), ("cover",))
    new = from_text(ways.made_the_project(text, "flap"))
    assert new.wall.flap is not None
    assert [way.name for way in new.variants] == ["cover"]


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (lambda t: ways.with_variant(t, ("flop",)), "no remedy"),
        (lambda t: ways.with_variant(t, ()), "needs a name"),
        (lambda t: ways.rewritten(t, "flap", ("flop",)), "no remedy"),
        (lambda t: ways.renamed(t, "flap", "cover"), "already"),
        (lambda t: ways.renamed(t, "flap", "  "), "needs a name"),
        (lambda t: ways.copied(t, "gone"), "no longer there"),
        (lambda t: ways.made_the_project(t, "gone"), "no longer there"),
    ],
)
def test_what_a_variant_cannot_be_is_told(edit, told: str) -> None:
    text = ways.with_variant(ways.with_variant(TEXT, ("flap",)), ("cover",))
    with pytest.raises(ProjectError, match=told):
        edit(text)


def test_no_more_than_a_page_shows() -> None:
    text = TEXT
    for i in range(7):
        text = ways.with_variant(text, (f"wall.gap={100 + i} mm",))
    with pytest.raises(ProjectError, match="7 variants"):
        ways.with_variant(text, ("flap",))


def test_a_variant_that_does_not_fit_is_left_out_of_the_comparison() -> None:
    text = add_item(
        ways.with_variant(TEXT, ("flap",)), "variant", {"name": "odd", "change": ["fan[9].count=2"]}
    )
    described = from_text(text)
    assert ways.fault_of(text, described.variants[1]) is not None
    assert [way.name for way in ways.ways_of(text, described, None, lambda p: p)] == ["flap"]
    with pytest.raises(ProjectError, match="nothing to compare"):
        ways.ways_of(text, described, ["odd"], lambda p: p)


@pytest.mark.parametrize(
    ("written", "pieces"),
    [("flap", ("flap",)), ("flap + cover", ("flap", "cover")), ("flap\ncover=none", ("flap", "cover=none"))],
)
def test_changes_are_split(written: str, pieces: tuple[str, ...]) -> None:
    assert ways.split_changes(written) == pieces


@pytest.mark.parametrize("written", ["", "flap +", "+"])
def test_an_empty_change_is_refused(written: str) -> None:
    with pytest.raises(ProjectError, match="empty change"):
        ways.split_changes(written)


def test_every_usual_remedy_and_its_example_fit() -> None:
    for usual in ways.USUAL:
        for word in (usual.word, usual.example):
            changed_by(TEXT, word, (word,))
