"""A picture for a dark page: the same drawing, light and dark changed about; files stay white."""

from __future__ import annotations

import io

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from noonwall.report import ink
from noonwall.report.night_ink import LIT, night, night_scale


def luminance(colour: object) -> float:
    # WCAG 2.2, relative luminance
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)[:3]]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


def contrast(one: object, other: object) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def drawn(form: str = "png") -> bytes:
    with ink.drawing():
        figure = ink.blank((3.0, 2.0))
        axes = figure.add_subplot()
        image = axes.imshow(np.arange(6.0).reshape(2, 3), cmap=ink.heat_scale())
        bar = figure.colorbar(image)
        bar.set_ticks([0.0, 5.0], labels=["none", "much"])
        axes.set_title("a name")
        axes.legend(handles=[axes.plot([0, 1], [0, 1], label="line")[0]], edgecolor="none", framealpha=0.5)
        return ink.rendered(figure, form)


def corner(png: bytes) -> tuple[float, ...]:
    import matplotlib.image as mpl_image

    return tuple(mpl_image.imread(io.BytesIO(png), format="png")[2, 2, :3])


@pytest.mark.parametrize("colour", [ink.INK, ink.HEAT, ink.COLD, ink.SUN_EDGE])
def test_what_is_read_on_paper_is_read_on_a_dark_page(colour: str) -> None:
    assert contrast(night(colour), night(ink.PAPER)) >= min(4.5, contrast(colour, ink.PAPER))


def test_a_picture_is_dark_at_night_and_white_otherwise() -> None:
    white = drawn()
    with ink.at_night():
        dark = drawn()
    assert corner(white) == (1.0, 1.0, 1.0)
    assert luminance(corner(dark)) < 0.02
    assert drawn() == white


def test_what_is_clear_stays_clear_and_light_itself_stays_bright() -> None:
    assert night("none")[3] == 0.0
    assert night((0.0, 0.0, 0.0, 0.4))[3] == 0.4
    scale = ink.temperature_scale()
    scale.name = next(iter(LIT))
    assert night_scale(scale) is scale


def test_a_colour_bar_keeps_its_words() -> None:
    with ink.at_night(), ink.drawing():
        figure = ink.blank((3.0, 2.0))
        image = figure.add_subplot().imshow(np.arange(6.0).reshape(2, 3), cmap=ink.heat_scale())
        bar = figure.colorbar(image)
        bar.set_ticks([0.0, 5.0], labels=["none", "much"])
        ink.rendered(figure, "svg")
        assert [text.get_text() for text in bar.ax.get_yticklabels()] == ["none", "much"]
