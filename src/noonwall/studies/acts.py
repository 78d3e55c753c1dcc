"""What can be done to obstacles, and the calculated year of each set of such acts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from noonwall.model.obstacle import Row, Stand, Tree
from noonwall.model.species import form_of
from noonwall.model.survey import height_of
from noonwall.shade.site import scene_of
from noonwall.studies.mended import Change, Known
from noonwall.studies.runner import together

if TYPE_CHECKING:
    from collections.abc import Iterable

    from noonwall.model.project import Project
    from noonwall.shade.scene import Scene
    from noonwall.studies.runner import Tell
    from noonwall.studies.trial import Trial, Yield

Way = Literal["out", "top", "thin"]
Plant = Tree | Row | Stand


@dataclass(frozen=True)
class Act:
    """One thing done to one obstacle: taken out, topped or thinned."""

    name: str
    way: Way
    amount: float = 0.0  # height topped at [m], or share thinned out


Acts = frozenset[Act]
NOTHING: Acts = frozenset()


class Years:
    """The calculated years: each set of acts once, several at a time."""

    def __init__(self, project: Project, trial: Trial, years_on: float, tell: Tell) -> None:
        """Calculate the year with everything standing.

        tell  called with (years calculated so far, years expected) after each
        """
        self.project, self.trial, self.years_on, self.tell = project, trial, years_on, tell
        self.scene = scene_of(project, years_on)
        self.known = Known(self.scene)
        self.expected = 1
        self.found: dict[Acts, Yield] = {NOTHING: trial.given(self.scene, self.known.tracer)}

    @property
    def now(self) -> Yield:
        """What is given with everything standing."""
        return self.found[NOTHING]

    def gain(self, acts: Acts, after: Acts = NOTHING) -> Yield:
        """Return what a set of acts gains over another; both must have been calculated."""
        return self.found[acts].less(self.found[after])

    def calculate(self, wanted: Iterable[Acts]) -> None:
        """Calculate the sets of acts that are not known yet."""
        missing = [acts for acts in dict.fromkeys(wanted) if acts not in self.found]
        before = len(self.found)

        def tell(done: int, of: int) -> None:
            self.tell(before + done, max(self.expected, before + of))

        given = together([lambda acts=acts: self._given(acts) for acts in missing], tell)  # type: ignore[misc]
        self.found |= dict(zip(missing, given, strict=True))

    def after(self, acts: Acts) -> Scene:
        """Return the scene after some acts; what is taken out is still named in it."""
        project = self.project
        for act in sorted(acts, key=lambda act: act.name):
            project = done_to(project, act)
        scene = self.scene if project is self.project else scene_of(project, self.years_on)
        return scene.without([act.name for act in acts if act.way == "out"])

    def _given(self, acts: Acts) -> Yield:
        gone = [act.name for act in acts if act.way == "out"]
        change = Change(self.known, sorted({act.name for act in acts}))
        return self.trial.given(self.after(acts), change.tracer, gone)


def done_to(project: Project, act: Act) -> Project:
    """Return a project with one obstacle topped or thinned; what is taken out stays for the scene to leave out."""
    if act.way == "out":
        return project
    items = tuple(
        _less(item, act) if item.name == act.name and isinstance(item, Plant) else item
        for item in project.obstacles
    )
    return project.model_copy(update={"obstacles": items})


def _less(plant: Plant, act: Act) -> Plant:
    """Return a plant topped or thinned once more."""
    if act.way == "top":
        return plant.model_copy(update={"topped_m": act.amount})
    return plant.model_copy(update={"thinned": 1.0 - (1.0 - plant.thinned) * (1.0 - act.amount)})


def top_of(project: Project, plant: Plant) -> tuple[float, float]:
    """Return how high a plant is now, and how high its lowest branches are [m]."""
    high = height_of(project, plant, plant.height_m) if isinstance(plant, Tree) else plant.high_m
    usual = 0.1 if form_of(plant) == "conifer" else 0.2
    base = usual * high if plant.crown_base_m is None else plant.crown_base_m
    return (high if plant.topped_m is None else min(high, plant.topped_m)), base
