"""Everything around the wall as a list, the picked one in boxes: all that a hand can do, by keyboard too."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import add_item, remove_item
from noonwall.model.members import copy_member
from noonwall.model.new_things import free_name, new_thing
from noonwall.model.rearrange import place_of, thing_named, things, write_moved
from noonwall.report.site_scene import thing_words
from noonwall.studies.trees import kinds
from noonwall.web.frame import refuse
from noonwall.web.parts.form import Listed, change, fold, group, members, redrawn, value_at_key
from noonwall.web.parts.rows import Group, Row
from noonwall.web.parts.site_measure import measure_dialog, point_dialog

if TYPE_CHECKING:
    from noonwall.web.bench import Bench
    from noonwall.web.parts.site_stage import Stage

NEW = {
    "conifer": ("Conifer", "park"), "broadleaf": ("Broadleaf tree", "nature"), "row": ("Row of trees", "forest"),
    "stand": ("Stand, hedge or wood", "grass"), "building": ("Building", "house"), "post": ("Post or pole", "height"),
    "wing wall": ("Wing wall", "border_right"),
    "awning": ("Awning", "roofing"), "modules": ("PV modules", "solar_power"),
    "slope": ("Slope", "landscape"),
}  # fmt: skip
METRES = (Row("east", "East", "of the wall's foot; west is negative"),
          Row("north", "North", "of the wall's foot; south is negative"))  # fmt: skip
ALONG = (
    Row("along", "Along the wall from its middle", "to the right, looking out"),
    Row("out", "Out from the wall"),
)
SIGHTED = (Row("from", "Seen from"), Row("bearing", "Bearing from there"), Row("bearing_is", "That bearing is"),
           Row("distance", "Level distance"))  # fmt: skip
ANGLES = (Row("top_angle", "Angle up to its top"), Row("foot_angle", "Angle down to its foot"))
NAME = Row("name", "Name")
LEAVES = (
    Row("species", "Species"), Row("form", "Form"), Row("thinned", "Branches taken out"), Row("topped", "Topped at"),
    Row("passes_in_leaf", "Light through, in leaf"), Row("passes_bare", "Light through, bare"),
    Row("leaf_out", "Half in leaf", "such as 05-10"), Row("leaf_fall", "Half its leaves down", "such as 10-15"),
    Row("growth", "Growth in a year"), Row("full_height", "Stops growing at"),
)  # fmt: skip
GROUND = Row("ground", "Its ground above the wall's")
POINT = Group((NAME, *METRES, Row("ground", "Its ground above the wall's"), Row("eye_height", "Height of your eye"),
               Row("surveyed", "Day of the readings", "YYYY-MM-DD, for a compass")))  # fmt: skip
FORMS: dict[str, Group] = {
    "tree": Group((Row("height", "Height"), Row("crown_width", "Crown width"), Row("crown_base", "Lowest branches at"),
                   LEAVES[0]), (*LEAVES[1:], Row("trunk", "Trunk"), GROUND)),
    "row": Group((Row("line", "Line", "east, north; east, north; ...", wide=True), Row("spacing", "From tree to tree"),
                  Row("height_low", "Lowest tree"), Row("height_high", "Highest tree"),
                  Row("crown_width", "Crown width"), LEAVES[0]),
                 (Row("rows", "Rows"), Row("row_spacing", "From row to row"),
                               Row("crown_base", "Lowest branches at"), *LEAVES[1:], GROUND)),
    "stand": Group((Row("line", "Line down its middle", "east, north; east, north; ...", wide=True),
                    Row("outline", "Or an outline round it", "east, north; east, north; ...", wide=True),
                    Row("depth", "Depth across the line"), Row("height_low", "Closed up to"),
                    Row("height_high", "Highest tips"), LEAVES[0]),
                   (Row("crown_base", "Lowest branches at"), Row("measured_depth", "Depth the shares hold for"),
                    *LEAVES[1:], GROUND)),
    "building": Group((Row("roof", "Roof"), Row("faces", "Its front looks to"), Row("width", "Along its front"),
                       Row("length", "Front to back"), Row("eaves", "Eaves"), Row("ridge", "Ridge")),
                      (Row("ridge_runs", "The ridge runs"), GROUND)),
    "awning": Group((Row("depth", "Depth"), Row("above", "Above the glazing's top"), Row("tilt", "Falls by"),
                     Row("side", "Past the glazing, each side"), Row("hung", "Up from - to", "10-01 to 04-15")),
                    (Row("gap", "Off the wall"), Row("passes", "Light it lets through"))),
    "post": Group((Row("width", "Thickness"), Row("height", "Height")), (GROUND,)),
    "wing wall": Group((Row("end", "End, seen from outside"), Row("depth", "Stands out"), Row("top", "Top"),
                        Row("away", "Away from the glazing"), Row("bottom", "Foot"))),
    "slope": Group((Row("rise", "How steep"), Row("uphill", "Straight uphill"))),
    "modules": Group((Row("columns", "Modules in a row"), Row("rows", "Rows"), Row("tilt", "Tilt"),
                      Row("lower_edge", "Lower edge above ground"),
                      Row("lower_edge_above_glazing", "Or above the glazing's top"), Row("azimuth", "Faces")),
                     (Row("upright", "Long side up"), Row("module_length", "Module, long side"),
                      Row("module_width", "Module, short side"), Row("rated", "Rated power"),
                      Row("wiring", "Wiring"), Row("bypass_parts", "Bypass parts"), Row("inverter", "Inverter"),
                      GROUND)),
    "overhang": Group((Row("depth", "Depth"), Row("above", "Above the glazing's top"), Row("side", "Past each side"))),
}  # fmt: skip


def things_panel(bench: Bench, stage: Stage) -> None:
    """Show the list of things; the picked one is marked."""
    with ui.card().classes("nw-card"):
        ui.html("<h2>What stands around</h2>", sanitize=False)
        _tools(bench, stage)
        lines = (
            ui.column()
            .classes("w-full gap-0 nw-site-list")
            .props('role=group aria-label="Things on the site"')
        )
        with fold("Standing points"):
            _points(bench)

    buttons: dict[str, ui.element] = {}

    def picked() -> None:
        for name, line in buttons.items():  # marked where it stands: a new line would not have the keyboard
            line.props(f"aria-pressed={'true' if name == stage.picked else 'false'}")

    def listed() -> None:
        lines.clear()
        buttons.clear()
        with lines:
            buttons.update(_list(bench, stage))
        picked()

    stage.on_pick(picked)
    redrawn_list = ui.column()
    with redrawn_list:
        redrawn(bench, lambda: _shape(bench), listed)


def boxes_panel(bench: Bench, stage: Stage) -> None:
    """Show the picked thing in boxes: beside the picture, on a narrow page right below it."""
    with ui.card().classes("nw-card nw-site-boxes"):
        place = ui.column().classes("w-full gap-2")

    def show() -> None:
        place.clear()
        with place:
            _picked(bench, stage)

    stage.on_pick(show)
    redrawn(bench, lambda: _shape(bench), show)


def _points(bench: Bench) -> None:
    what = Listed("standing_point", "standing point", _new_point(bench), "Add a standing point",
                  "None yet. A standing point is a marked place that bearings and angles are read from.")  # fmt: skip
    members(bench, what, lambda key, _i: group(bench, POINT, key), lambda row, _i: str(row.get("name", "")))


def _new_point(bench: Bench) -> dict[str, str]:
    return {"name": free_name(bench.desk.project, "stake"), "east": "0 m", "north": "-1 m"}


def _shape(bench: Bench) -> object:
    project, reader = bench.desk.project, bench.reader
    return tuple((name, thing_words(project, name, reader)) for name in kinds(project))


def _tools(bench: Bench, stage: Stage) -> None:
    with ui.row().classes("gap-2"):
        with ui.button("Add", icon="add").props("outline").classes("nw-plain"), ui.menu().props("auto-close"):
            for what, (word, icon) in NEW.items():
                item = ui.menu_item(on_click=lambda w=what: _add(bench, stage, w))
                with item.mark(f"add-{what.replace(' ', '-')}").classes("items-center gap-3"):
                    ui.icon(icon).props("aria-hidden=true").classes("text-xl")
                    ui.label(word)
        ui.button("Measure in", icon="straighten", on_click=lambda: measure_dialog(bench, stage, None)).props(
            "outline"
        ).classes("nw-plain")
        ui.button("Standing point", icon="person_pin", on_click=lambda: point_dialog(bench)).props(
            "outline"
        ).classes("nw-plain")


def _add(bench: Bench, stage: Stage, what: str) -> None:
    try:
        key, item = new_thing(bench.desk.project, what, bench.reader.system)
    except NoonwallError as error:
        refuse(str(error))
        return
    if change(bench, lambda text: add_item(text, key, item), f"{item['name']} added", by_name=True):
        ui.notify(f"{item['name']} stands before the wall: drag it, or type its numbers in the boxes.")
        stage.pick(str(item["name"]), mark=True, bring=True)


def _list(bench: Bench, stage: Stage) -> dict[str, ui.element]:
    """Draw a line for each thing; returns them by name."""
    project, reader = bench.desk.project, bench.reader
    lines: dict[str, ui.element] = {}
    if not kinds(project):
        ui.label("Nothing yet. Add what stands in the sun's way, or measure it in.").classes("nw-soft")
    for name in kinds(project):
        line = lines[name] = ui.element("button").classes("nw-site-line").props("type=button")
        line.on("click", lambda n=name: stage.pick(n, mark=True, bring=True))
        with line:
            ui.html(
                f"<b>{html.escape(name)}</b><span>{html.escape(thing_words(project, name, reader))}</span>",
                sanitize=False,
            )
    return lines


def _picked(bench: Bench, stage: Stage) -> None:
    name = stage.picked
    kind = kinds(bench.desk.project).get(name or "")
    if name is None or kind is None:
        ui.html("<h2>Pick a thing</h2>", sanitize=False)
        ui.label("Tap it in the view or in the list; then type its numbers here, or drag it.").classes(
            "nw-soft"
        )
        return
    found = things(bench.desk.project).get(name)
    key = found.key if found else "wall.overhang"
    ui.html(f"<h2>{html.escape(name)}</h2>", sanitize=False)
    if found:
        if place_of(bench.desk.project, found.thing) is not None:
            ui.label("Drag it in the picture by any part of it, its crown too; or type here.").classes(
                "nw-soft"
            )
        _doings(bench, stage, name)
    redrawn(bench, lambda: _keys(bench, key), lambda: _boxes(bench, stage, name, key, kind))


def _keys(bench: Bench, key: str) -> object:
    table = value_at_key(bench, key)
    return sorted(table) if isinstance(table, dict) else None


def _doings(bench: Bench, stage: Stage, name: str) -> None:
    def here() -> str:
        """Return where it stands in the file as that is now."""
        return thing_named(bench.desk.project, name).key

    def copied() -> None:
        change(bench, lambda text: copy_member(text, here()), f"{name} copied", by_name=True)

    def removed() -> None:
        if change(bench, lambda text: remove_item(text, here()), f"{name} taken away", by_name=True):
            ui.notify(f"{name} taken away. Undo is at the top.")
            stage.pick(None, mark=True)

    with ui.row().classes("gap-1"):
        ui.button("Copy", icon="content_copy", on_click=copied).props("flat").classes("nw-plain")
        ui.button("Take away", icon="delete_outline", on_click=removed).props("flat").classes("nw-plain")


def _boxes(bench: Bench, stage: Stage, name: str, key: str, kind: str) -> None:
    table = value_at_key(bench, key)
    if not isinstance(table, dict):
        return
    if "bearing" in table or "from" in table:
        place = (*SIGHTED, *(ANGLES if kind in {"tree", "post"} else ()))
    else:
        place = ALONG if "along" in table or "out" in table else METRES if "east" in table else ()
    rows = FORMS[kind].rows
    if kind == "tree" and "top_angle" in table:
        rows = tuple(row for row in rows if row.key != "height")
    group(bench, Group((*((NAME,) if kind != "overhang" else ()), *place, *rows), FORMS[kind].seldom), key)
    if place is METRES and kind in {"tree", "post", "building"}:
        ui.button("Measure its place anew", icon="straighten", on_click=lambda: measure_dialog(bench, stage, name)
                  ).props("flat").classes("nw-plain")  # fmt: skip
    elif "bearing" in table:
        ui.button("Give its place in lengths instead", icon="swap_horiz", on_click=lambda: _in_lengths(bench, name)
                  ).props("flat").classes("nw-plain")  # fmt: skip


def _in_lengths(bench: Bench, name: str) -> None:
    def edit(text: str) -> str:
        project = bench.desk.project
        at = place_of(project, thing_named(project, name).thing)
        return text if at is None else write_moved(text, project, name, at, bench.reader.system)

    change(bench, edit, f"{name}: its place in lengths", by_name=True)
