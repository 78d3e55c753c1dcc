"""The ways a project file names beside itself: added, copied, changed, taken away, or made the project."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.edit import add_item, remove_item, set_value
from noonwall.model.file import from_text
from noonwall.model.sense import MOST_VARIANTS
from noonwall.model.taught import corrections_of, taught
from noonwall.studies.adopt import adopted
from noonwall.studies.change import changed_by
from noonwall.units import quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.model.project import Project, Variant
    from noonwall.studies.change import Varied

LONGEST_NAME = 60


@dataclass(frozen=True)
class Usual:
    """A remedy that builders often ask about: its word, and what it is in a few."""

    word: str
    told: str
    example: str  # with a figure of one's own


USUAL = (
    Usual("flap", "a film or damper that lets air go one way only", "flap=3 %"),
    Usual("shutters", "vents that somebody shuts every night", "shutters=18:00..07:30"),
    Usual("room limit", "a thermostat that stops the fans when the shop is warm", "room limit=24 C"),
    Usual("fans=off", "the fans left off, the air moves by its warmth alone", "fans=on"),
    Usual("cover", "an opaque cover over the glazing in the warm season", "cover=05-01..09-15"),
    Usual("vent out", "the gap opened to outdoors in the warm season", "vent out=top"),
    Usual("awning", "an awning over the glazing in the warm season", "awning=4 ft"),
    Usual("overhang", "a fixed overhang above the glazing", "overhang=2 ft"),
    Usual("metal frame", "frame and studs of sheet steel in place of wood", "metal frame=aluminium sheet"),
)


def split_changes(written: str) -> tuple[str, ...]:
    """Return the changes that somebody typed, joined by '+' or one a line.

    >>> split_changes("flap + wall.gap=120 mm")
    ('flap', 'wall.gap=120 mm')
    """
    pieces = tuple(piece.strip() for line in written.splitlines() for piece in line.split("+"))
    if not pieces or not all(pieces):
        raise ProjectError("an empty change; write such as flap, or wall.gap=120 mm, several joined by +")
    return pieces


def with_variant(text: str, pieces: Sequence[str], name: str = "") -> str:
    """Return the text with one more way; without a name it is called by its changes.

    Raises  ProjectError when there are too many, or the changes do not fit
    """
    described = from_text(text)
    if len(described.variants) >= MOST_VARIANTS:
        raise ProjectError(
            f"there are {MOST_VARIANTS} variants already, as many as a page shows; take one away"
        )
    called = _free(described, _named(name or " + ".join(pieces)))
    changed_by(text, called, tuple(pieces))
    return add_item(text, "variant", {"name": called, "change": list(pieces)})


def copied(text: str, name: str) -> str:
    """Return the text with a copy of a way at the end, under a name of its own."""
    way = _of(from_text(text), name)[1]
    return with_variant(text, way.change, name)


def renamed(text: str, name: str, new: str) -> str:
    """Return the text with a way called otherwise; raises ProjectError when another is called so."""
    described = from_text(text)
    place, _ = _of(described, name)
    wanted = _named(new)
    if any(way.name == wanted for way in described.variants if way.name != name):
        raise ProjectError(f"another variant is called {quoted(wanted)} already; choose another name")
    return set_value(text, f"variant[{place + 1}].name", wanted)


def rewritten(text: str, name: str, pieces: Sequence[str]) -> str:
    """Return the text with other changes in a way; raises ProjectError when they do not fit."""
    place, _ = _of(from_text(text), name)
    changed_by(text, name, tuple(pieces))
    return set_value(text, f"variant[{place + 1}].change", list(pieces))


def without(text: str, name: str) -> str:
    """Return the text without a way."""
    place, _ = _of(from_text(text), name)
    return remove_item(text, f"variant[{place + 1}]")


def made_the_project(text: str, name: str) -> str:
    """Return the text with a way's changes made in the project itself, and the way gone from its list.

    Raises  ProjectError when the changes do not fit or have no place in the file
    """
    way = _of(from_text(text), name)[1]
    return without(adopted(text, name, way.change), name)


def fault_of(text: str, way: Variant) -> str | None:
    """Return in one line what is wrong with a way of a project, None when it fits."""
    try:
        changed_by(text, way.name, way.change)
    except NoonwallError as error:
        return str(error)
    return None


def ways_of(
    text: str, described: Project, names: Sequence[str] | None, placed: Callable[[Project], Project]
) -> list[Varied]:
    """Return the ways of a project file that fit, of these names, or all for None.

    placed  what is done to every project that is read, such as finding its weather file and skyline
    Raises  ProjectError when there is none
    """
    chosen = [way for way in described.variants if names is None or way.name in names]
    fitting = [way for way in chosen if fault_of(text, way) is None]
    if not fitting:
        raise ProjectError("nothing to compare with yet: add a variant that fits")
    return [changed_by(text, way.name, way.change, placed) for way in fitting]


def as_the_project(described: Project, found: Callable[[Project], Project]) -> Callable[[Project], Project]:
    """Return what gives a way its files, and what was learned of the project where it has that.

    found  finds weather file and skyline of a project, as was done for ``described``
    """
    corrections = corrections_of(described)
    return lambda project: taught(found(project), corrections) if corrections else found(project)


def _of(described: Project, name: str) -> tuple[int, Variant]:
    for place, way in enumerate(described.variants):
        if way.name == name:
            return place, way
    raise ProjectError(f"variant {quoted(name)}: is no longer there; another window may have renamed it")


def _named(name: str) -> str:
    plain = " ".join(name.split())[:LONGEST_NAME]
    if not plain:
        raise ProjectError("a variant needs a name")
    return plain


def _free(described: Project, name: str) -> str:
    """Return a name that no other way has."""
    taken, number, wanted = {way.name for way in described.variants}, 2, name
    while wanted in taken:
        wanted, number = f"{name[: LONGEST_NAME - 4]} {number}", number + 1
    return wanted
