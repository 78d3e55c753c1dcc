"""The project as it was when readings were read in, and what of it has been changed since."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError
from noonwall.model.disk import PROJECT_FILE, read_text
from noonwall.model.file import from_text

if TYPE_CHECKING:
    from noonwall.logs.period import Period
    from noonwall.logs.store import Store
    from noonwall.model.project import Project

# What a builder calls the parts of a project; what is not here changes no figure of a recap.
_PARTS = {
    "site": "the place", "shop": "the shop", "wall": "the wall", "fans": "the fans", "switches": "the switches",
    "circuit": "the switches", "obstacles": "what stands around", "pv": "the modules",
}  # fmt: skip
_OF_THE_WALL = {"flap": "the flap", "cover": "the cover", "vents": "the vents", "glazing": "the glazing"}
_OF_THE_SHOP = {"heater": "the heater"}


@dataclass(frozen=True)
class Kept:
    """A project as it was when readings were read in; ``changed`` since, part by part as a builder calls them."""

    day: str  # on the site's clock
    text: str
    changed: tuple[str, ...]


def text_beside(store: Store) -> str | None:
    """Return the text of the project in whose folder a store lies; None where there is none that reads."""
    with suppress(NoonwallError):
        return read_text(store.path.parent / PROJECT_FILE)
    return None


def kept_with(store: Store, period: Period) -> Kept | None:
    """Return the project as it was when the last readings of a period were read in; None where none was kept."""
    of_then = [
        item
        for item in store.imports()
        if item.tally.first_s is not None
        and item.tally.last_s is not None
        and item.tally.first_s < period.end_s
        and item.tally.last_s >= period.start_s
    ]
    texts = store.projects()
    for item in reversed(of_then):
        if (text := texts.get(item.id)) is not None:
            return Kept(period.day_of(item.made_s), text, changed_parts(text, text_beside(store)))
    return None


def changed_parts(text: str, now: str | None) -> tuple[str, ...]:
    r"""Return what of a project is otherwise now, as a builder calls it; empty where nothing is, or none can tell.

    >>> from noonwall.model.templates import demo_text
    >>> changed_parts(demo_text(), demo_text() + "\n[wall.flap]\n")
    ('the flap',)
    """
    if now is None or now == text:
        return ()
    try:
        before, after = from_text(text), from_text(now)
    except NoonwallError:
        return ()
    found: list[str] = []
    for name, called in _PARTS.items():
        inner = {"wall": _OF_THE_WALL, "shop": _OF_THE_SHOP}.get(name, {})
        found += _apart(getattr(before, name), getattr(after, name), called, inner)
    return tuple(dict.fromkeys(found))


def _apart(before: Any, after: Any, called: str, inner: dict[str, str]) -> list[str]:
    """Return what differs between two parts: pieces that have a name of their own by that, the rest as the part."""
    if before == after:
        return []
    if not inner:
        return [called]
    names = [name for name in type(after).model_fields if getattr(before, name) != getattr(after, name)]
    return [inner.get(name, called) for name in names]


def project_of(kept: Kept, like: Project) -> Project:
    """Return the project that was kept; of files beside it, its typical weather and its skyline, as they are now.

    like  the project as it stands
    """
    was = from_text(kept.text)
    site = was.site
    if site.horizon_file is not None:
        site = site.model_copy(update={"horizon": like.site.horizon, "horizon_file": None})
    return was.model_copy(update={"weather": like.weather, "site": site})
