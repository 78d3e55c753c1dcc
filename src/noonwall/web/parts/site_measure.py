"""Windows to measure something in from a standing point: bearing, distance, angles."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import add_item, set_values
from noonwall.model.new_things import free_name
from noonwall.model.rearrange import thing_named
from noonwall.report.site_scene import thing_words
from noonwall.studies.trees import kinds
from noonwall.web.parts.complaint import plain
from noonwall.web.parts.form import change

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.model.edit import Value
    from noonwall.web.bench import Bench
    from noonwall.web.parts.site_stage import Stage

KINDS = {"conifer": "conifer", "broadleaf": "broadleaf tree", "post": "post or pole"}
TRUE, MAGNETIC = "true", "magnetic"
PLACE = ("east", "north", "along", "out", "height")
US_DISTANCE = "52 ft"
ANGLED = (
    ("bearing", "Bearing from there", "131 deg"), ("distance", "Level distance", "16 m"),
    ("top_angle", "Angle up to its top", "42 deg"), ("foot_angle", "Angle down to its foot", "3 deg; may stay empty"),
)  # fmt: skip


def measure_dialog(bench: Bench, stage: Stage, name: str | None, *, known: bool = True) -> None:
    """Ask for the readings of a new thing, or of one that is there, and put it where they say.

    known   whether a standing point was there already; else it was asked for as the first of two steps
    """
    points = [point.name for point in bench.desk.project.standing_points]
    if not points:
        point_dialog(bench, then=lambda: measure_dialog(bench, stage, name, known=False))
        return
    angles = name is None or kinds(bench.desk.project).get(name) in {"tree", "post"}
    with ui.dialog() as dialog, ui.card().classes("nw-card nw-dialog"):
        step = "" if known else "Step 2 of 2: "
        ui.html(f"<h2>{step}{'m' if step else 'M'}easure in from a standing point</h2>", sanitize=False)
        ui.label(
            "Stand at a marked point. Read the bearing, pace or tape the level distance, sight the top and the foot "
            "with a clinometer or a phone's level."
        ).classes("nw-soft")
        boxes: dict[str, Any] = {}
        with ui.element("div").classes("nw-form"):
            if name is None:
                boxes["what"] = ui.select(KINDS, value="conifer", label="What it is").props(
                    "outlined stack-label"
                )
                boxes["name"] = _box("Name", free_name(bench.desk.project, "tree"))
                boxes["width"] = _box("Crown width or thickness", "12 ft" if bench.reader.us else "4 m")
            boxes["from"] = ui.select(points, value=points[0], label="Seen from").props(
                "outlined stack-label"
            )
            boxes["bearing_is"] = ui.select({TRUE: "off a map or the sun", MAGNETIC: "off a compass"}, value=TRUE,
                                            label="The bearing is").props("outlined stack-label")  # fmt: skip
            for key, label, such in ANGLED if angles else ANGLED[:2]:
                here = US_DISTANCE if key == "distance" and bench.reader.us else such
                boxes[key] = _box(label).props(f'placeholder="such as {here}"')
        told = ui.label().classes("nw-site-said").props("role=status aria-live=polite")

        def show() -> None:
            told.set_text(_foretold(bench, boxes, name))

        for box in boxes.values():
            box.on("blur", show)
        with ui.row():
            ui.button("Put it there", on_click=lambda: _done(bench, stage, boxes, name, dialog)).classes(
                "nw-strong"
            )
            ui.button("Close", on_click=dialog.close).props("outline").classes("nw-plain")
    dialog.on("hide", dialog.delete)
    dialog.open()


def _box(label: str, value: str = "") -> ui.input:
    return ui.input(label, value=value).props("outlined stack-label").classes("nw-box")


def _readings(boxes: Mapping[str, Any]) -> dict[str, Value]:
    found: dict[str, Value] = {"from": str(boxes["from"].value)}
    for key, _label, _such in ANGLED:
        typed = str(boxes[key].value or "").strip() if key in boxes else ""
        if typed:
            found[key] = _with_degrees(typed) if key != "distance" else typed
    if boxes["bearing_is"].value == MAGNETIC:
        found["bearing_is"] = MAGNETIC
    return found


def _with_degrees(typed: str) -> str:
    return f"{typed} deg" if typed.replace(".", "", 1).replace("-", "", 1).isdigit() else typed


def _edited(bench: Bench, text: str, boxes: Mapping[str, Any], name: str | None) -> str:
    readings = _readings(boxes)
    if name is None:
        what = str(boxes["what"].value)
        item: dict[str, Value] = {
            "kind": "post" if what == "post" else "tree",
            "name": str(boxes["name"].value).strip(),
        }
        if what != "post":
            item["form"] = what
        item["width" if what == "post" else "crown_width"] = str(boxes["width"].value).strip()
        return add_item(text, "obstacle", item | readings)
    found = thing_named(bench.desk.project, name)
    values: dict[str, Value | None] = {f"{found.key}.{key}": None for key in PLACE[:4]}
    if "top_angle" in readings:
        values[f"{found.key}.height"] = None
    values |= {f"{found.key}.{key}": value for key, value in readings.items()}
    return set_values(text, values)


def _foretold(bench: Bench, boxes: Mapping[str, Any], name: str | None) -> str:
    """Return where the readings put it, or in one line what is missing."""
    try:
        project = bench.desk.tried(_edited(bench, bench.desk.text, boxes, name))
        return thing_words(project, name or str(boxes["name"].value).strip(), bench.reader)
    except NoonwallError as error:
        return plain(str(error), "", bench.desk.text, {})


def _done(bench: Bench, stage: Stage, boxes: Mapping[str, Any], name: str | None, dialog: ui.dialog) -> None:
    called = name or str(boxes["name"].value).strip()
    if change(bench, lambda text: _edited(bench, text, boxes, name), f"{called} measured in", by_name=True):
        dialog.close()
        stage.pick(called, mark=True)


def point_dialog(bench: Bench, then: Any = None) -> None:
    """Ask for a new standing point."""
    us = bench.reader.us
    with ui.dialog() as dialog, ui.card().classes("nw-card nw-dialog"):
        step = "" if then is None else "Step 1 of 2: "
        ui.html(f"<h2>{step}{'a' if step else 'A'} place to stand and measure from</h2>", sanitize=False)
        ui.label("Drive a stake, and tape its place from the middle of the wall's foot.").classes("nw-soft")
        if step:
            ui.label("What you measure is seen from there: that is asked next.").classes("nw-soft")
        with ui.element("div").classes("nw-form"):
            boxes = {
                "name": _box("Name", free_name(bench.desk.project, "stake")),
                "east": _box("East of the wall's foot (west is negative)", "0 ft" if us else "0 m"),
                "north": _box("North of the wall's foot (south is negative)", "-3 ft" if us else "-1 m"),
                "eye_height": _box("Height of your eye", "5.25 ft" if us else "1.6 m"),
                "surveyed": _box("Day of the readings, for a compass").props(
                    'placeholder="such as 2026-03-01"'
                ),
            }
        ui.label(
            "The day is wanted only where bearings are read off a compass: its needle points beside true north, by "
            "another angle from year to year. Off a map or the sun it may stay empty."
        ).classes("nw-soft nw-small")

        client = ui.context.client

        def done() -> None:
            item = {key: str(box.value).strip() for key, box in boxes.items() if str(box.value or "").strip()}
            if change(
                bench, lambda text: add_item(text, "standing_point", item), f"{item.get('name')} added"
            ):
                dialog.close()
                with client:  # the window that asked goes; the next one belongs to the page
                    ui.notify(f"{item.get('name')} stands on the site.")
                    if then is not None:
                        then()

        with ui.row():
            ui.button("Add it" if then is None else "Add it, then measure", on_click=done).classes(
                "nw-strong"
            )
            ui.button("Close", on_click=dialog.close).props("outline").classes("nw-plain")
    dialog.on("hide", dialog.delete)
    dialog.open()
