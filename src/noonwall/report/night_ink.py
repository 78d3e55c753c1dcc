"""The same figures in inks for a dark page: light and dark change places, hues stay, what was apart stays apart."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.ink import PAPER

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.colors import Colormap
    from matplotlib.figure import Figure

    from noonwall.shade.record import Floats

GROUND_L, BRIGHT_L = (
    0.25,
    0.97,
)  # lightness of a page's dark card, which paper turns to, and of its palest ink
PALE_L, RICHER = 0.7, 1.5  # pale fills turn dark, where a hue needs more of itself to be told
LIGHT_ITSELF = ("#ffd95a",)  # the sun's disc shines on a dark page too
LIT = frozenset({"noonwall-sun", "noonwall-lit"})  # scales whose bright end is light on the glazing
STEPS = 256
# Ottosson (2020), "A perceptual color space for image processing": linear sRGB to cone responses, and those to Lab
CONES = np.array([[0.4122214708, 0.5363325363, 0.0514459929], [0.2119034982, 0.6806995451, 0.1073969566],
                  [0.0883024619, 0.2817188376, 0.6299787005]])  # fmt: skip
LAB = np.array([[0.2104542553, 0.7936177850, -0.0040720468], [1.9779984951, -2.4285922050, 0.4505937099],
                [0.0259040371, 0.7827717662, -0.8086757660]])  # fmt: skip
TINT = np.array([-0.004, -0.017])  # of a dark card


def for_the_night(figure: Figure) -> None:
    """Change every colour of a finished figure to its counterpart on a dark page."""
    from matplotlib.collections import Collection
    from matplotlib.image import AxesImage
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch
    from matplotlib.text import Text

    figure.draw_without_rendering()  # marks along axes are made when they are drawn
    for artist in _parts(figure):
        if isinstance(artist, Text):
            _text(artist)
        elif isinstance(artist, Line2D):
            _line(artist)
        elif isinstance(artist, Patch):
            _patch(artist)
        elif isinstance(artist, AxesImage):
            _scaled(artist)
        elif isinstance(artist, Collection):
            _collection(artist)


def _parts(figure: Figure) -> list[Artist]:
    """Return everything a figure draws, each once."""
    return list({id(artist): artist for artist in figure.findobj(include_self=True)}.values())


def night(colour: Any) -> tuple[float, float, float, float]:
    """Return the counterpart of a colour on a dark page, as opaque as it was.

    >>> from matplotlib.colors import to_hex
    >>> to_hex(night("#ffffff")), to_hex(night("none"), keep_alpha=True)
    ('#1a2229', '#00000000')
    """
    from matplotlib.colors import to_hex, to_rgba

    red, green, blue, opaque = to_rgba(colour)
    if opaque == 0.0 or to_hex((red, green, blue)) in LIGHT_ITSELF:
        return red, green, blue, opaque
    turned = _turned(np.array([[red, green, blue]]))[0]
    return float(turned[0]), float(turned[1]), float(turned[2]), opaque


def night_scale(scale: Colormap) -> Colormap:
    """Return a colour scale for a dark page; one whose bright end is light itself stays."""
    from matplotlib.colors import ListedColormap

    if scale.name in LIT:
        return scale
    rgba = scale(np.arange(scale.N))
    rgba[:, :3] = _turned(rgba[:, :3])
    found = ListedColormap(rgba, name=f"{scale.name}-night")
    ends = {"bad": scale.get_bad(), "under": scale.get_under(), "over": scale.get_over()}
    return found.with_extremes(**{name: night(colour) for name, colour in ends.items()})


def _turned(rgb: Floats) -> Floats:
    """Return colours, shape (n, 3), with lightness turned about and hue kept."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    lab = np.cbrt(linear @ CONES.T) @ LAB.T
    pale = np.clip((lab[:, :1] - PALE_L) / (1.0 - PALE_L), 0.0, 1.0)
    lab[:, 1:] = lab[:, 1:] * (1.0 + (RICHER - 1.0) * pale) + TINT * np.clip(lab[:, :1], 0.0, 1.0)
    lab[:, 0] = np.clip(1.0 + GROUND_L - lab[:, 0], GROUND_L, BRIGHT_L)
    back = (lab @ np.linalg.inv(LAB).T) ** 3 @ np.linalg.inv(CONES).T
    back = np.clip(back, 0.0, 1.0)
    shown: Floats = np.where(back <= 0.0031308, 12.92 * back, 1.055 * back ** (1 / 2.4) - 0.055)
    return shown


def _text(text: Any) -> None:
    from matplotlib.patheffects import withStroke

    text.set_color(night(text.get_color()))
    if text.get_path_effects():
        text.set_path_effects([withStroke(linewidth=2.2, foreground=night(PAPER))])
    box = text.get_bbox_patch()
    if box is not None:
        _patch(box)


def _line(line: Any) -> None:
    edge, face = line.get_markeredgecolor(), line.get_markerfacecolor()
    line.set_color(night(line.get_color()))
    line.set_markeredgecolor(night(edge))
    line.set_markerfacecolor(night(face))


def _patch(patch: Any) -> None:
    face, edge = patch.get_facecolor(), patch.get_edgecolor()
    patch.set_edgecolor(_or_none(edge))
    patch.set_facecolor(_or_none(face))


def _collection(these: Any) -> None:
    if these.get_array() is not None and these.get_cmap() is not None:
        _scaled(these)
        return
    faces, edges = these.get_facecolor(), these.get_edgecolor()
    these.set_edgecolor([_or_none(edge) for edge in edges] or "none")
    these.set_facecolor([_or_none(face) for face in faces] or "none")


def _or_none(colour: Any) -> Any:
    """Return a colour's counterpart; what is left clear stays so, whatever the whole's own opacity is."""
    found = night(colour)
    return found if found[3] > 0.0 else "none"


def _scaled(mapped: Any) -> None:
    """Change a scale quietly: a colour bar that heard of it would write its marks anew."""
    with mapped.callbacks.blocked():
        mapped.set_cmap(night_scale(mapped.get_cmap()))
