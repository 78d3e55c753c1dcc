"""The look of noonwall's figures: few colours that stay apart in print and for every eye, one way of axes.

Colour never stands alone: what differs in colour differs in hatch, line or label too. The two colour scales
run from dark over light to dark, blue to brown.
"""

from __future__ import annotations

import io
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.colors import LinearSegmentedColormap
    from matplotlib.figure import Figure

INK = "#26323b"
FAINT = "#8a949b"
HAIR = "#d5d9dc"
SUN = "#f3d58a"
SUN_EDGE = "#b98a1d"
HEAT = "#b4471f"
HEAT_PALE = "#f0c3a8"
COLD = "#2d5f8b"
COLD_PALE = "#a9c6de"
PAPER = "#ffffff"

A4_PORTRAIT_IN = (8.27, 11.69)
DPI = 200

STYLE: Any = {
    "font.family": "DejaVu Sans",
    "font.size": 8.0,
    "text.color": INK,
    "text.parse_math": False,  # a name with a dollar sign is a name
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "axes.titlesize": 9.5,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlepad": 6.0,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": 7.5,
    "ytick.labelsize": 7.5,
    "hatch.linewidth": 0.7,
    "figure.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "svg.hashsalt": "noonwall",
    "svg.fonttype": "path",
}


_AT_NIGHT: ContextVar[bool] = ContextVar("noonwall-night", default=False)


@contextmanager
def at_night(night: bool = True) -> Iterator[None]:
    """Draw for a dark page what is rendered inside; files and paper are drawn without it."""
    token = _AT_NIGHT.set(night)
    try:
        yield
    finally:
        _AT_NIGHT.reset(token)


@contextmanager
def drawing() -> Iterator[None]:
    """Draw in noonwall's style, leaving the plotting library's own settings as they were."""
    import matplotlib as mpl

    with mpl.rc_context(STYLE):
        yield


def blank(size_in: tuple[float, float] = A4_PORTRAIT_IN) -> Figure:
    """Return an empty figure that no window system knows of."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=size_in)
    FigureCanvasAgg(figure)
    return figure


def rendered(figure: Figure, form: str) -> bytes:
    """Return a figure as png, svg or pdf; the same figure gives the same bytes."""
    undated = {
        "png": {"Software": None},
        "svg": {"Date": None},
        "pdf": {"CreationDate": None, "Producer": None},
    }
    if _AT_NIGHT.get():
        from noonwall.report.night_ink import for_the_night

        for_the_night(figure)
    stream = io.BytesIO()
    figure.savefig(stream, format=form, dpi=DPI, metadata=undated[form], facecolor=figure.get_facecolor())
    return stream.getvalue()


def temperature_scale() -> LinearSegmentedColormap:
    """Return dark blue over pale to dark brown; its middle is 'warm enough'."""
    from matplotlib.colors import LinearSegmentedColormap

    stops = ["#0f2747", "#2d5f8b", "#8fb4d2", "#f4efe4", "#f0b36b", "#c4561f", "#5d1c0a"]
    return LinearSegmentedColormap.from_list("noonwall-warmth", stops)


def heat_scale() -> LinearSegmentedColormap:
    """Return blue (heat lost) over white (none) to dark brown (heat given)."""
    from matplotlib.colors import LinearSegmentedColormap

    stops = [
        (0.0, "#0f3a66"),
        (0.3, "#4f86b5"),
        (0.5, "#ffffff"),
        (0.68, "#f9dfa6"),
        (0.85, "#dd8434"),
        (1.0, "#7a260b"),
    ]
    return LinearSegmentedColormap.from_list("noonwall-heat", stops)


def tidy(axes: Axes, *, grid: bool = True) -> None:
    """Take away what says nothing: the frame above and right, tick marks; leave hair lines across."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.tick_params(length=2.5, width=0.6, color=FAINT)
    if grid:
        axes.grid(axis="y", color=HAIR, linewidth=0.5)
        axes.set_axisbelow(True)
