"""Guesses what each column is: from its heading's words first, from its cells where those must decide."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.cells import UNREADABLE, cell_reader, numbers
from noonwall.logs.errors import ReadingsError
from noonwall.logs.guess import ColumnGuess, Question
from noonwall.logs.measures import conversion, measure_of, units_of
from noonwall.logs.records import Conversion
from noonwall.logs.roles import ROLES, Kind, Measure
from noonwall.logs.table import EMPTY_WORDS
from noonwall.logs.words import STATE_WORDS, Said, said_by

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.maps import Spec
    from noonwall.logs.records import Floats, Stamp

# what loggers write for a sensor that is not there; believed only outside what the role can show
SENTINELS = (
    -9999.0, -9999.9, -9999.99, -9998.0, -9900.0, -999.0, -999.9, -999.99, -888.0, -99.9, -127.0, -273.0,
    -273.15, -242.0, -40.0, 85.0, 125.0, 850.0, 998.0, 999.0, 999.9, 6999.0, 7999.0, 8888.0, 9999.0, 32767.0,
    -32768.0, 65535.0, 1e30,
)  # fmt: skip
_GENERIC = re.compile(
    r"^(t|temp|temperature|temperatur|lämpötila|value|reading|state|data|channel|ch|sensor|probe|column)?"
    r"\s*[\d()]*$",
    re.I,
)
_TEXT_SHARE = 0.5
NO_UNIT = "no unit given"


@dataclass(frozen=True)
class Sample:
    """What is known of one column before it is judged."""

    column: str
    place: int
    cells: list[str]
    under: tuple[str, ...]


@dataclass(frozen=True)
class Setting:
    """What holds for all columns of the file."""

    decimal: str
    stem: str  # file's name, as words
    temperature_unit: str | None  # the builder's word for columns without one
    likelier_unit: str = "C"  # of temperatures, where the file leaves it open


def guess_columns(
    samples: Sequence[Sample], setting: Setting, specs: dict[str, Spec]
) -> tuple[tuple[ColumnGuess, ...], list[Question]]:
    """Return what each column is, and what the file leaves open.

    specs   the builder's words by column
    """
    said = {s.column: said_by(s.column, s.under) for s in samples}
    values = {s.column: _values(s, setting, said[s.column]) for s in samples}
    units = Counter(u for s in samples if (u := said[s.column].unit) and measure_of(u) == "temperature")
    common = next(iter(units)) if len(units) == 1 else None
    found: list[ColumnGuess] = []
    questions: list[Question] = []
    fitted: set[str | None] = set()
    for sample in samples:
        spec = specs.get(sample.column)
        judge = _Judge(sample, said[sample.column], values[sample.column], setting, common, spec)
        found.append(judge.guess())
        questions += judge.questions
        fitted |= {judge.fitted} - {None}
    if len(fitted) == 1:  # one column's figures that fit one unit only speak for the others
        unit = str(next(iter(fitted)))
        found = [_as_the_others(item, unit) for item in found]
        questions = [_likelier_first(question, unit) for question in questions]
    return _told_apart(found, specs), questions


def _as_the_others(item: ColumnGuess, unit: str) -> ColumnGuess:
    """Return a temperature whose unit nothing says in the unit that another column's figures settle."""
    if item.reason != NO_UNIT or item.measure != "temperature":
        return item
    way = conversion(unit, "temperature") or item.conversion
    reason = "as the column whose figures fit one unit only"
    return replace(item, unit=unit, conversion=way, confidence=0.3, reason=reason)


def _likelier_first(question: Question, unit: str) -> Question:
    """Return a question of two answers with the one of a unit first."""
    if question.other == f"unit={unit}":
        return replace(question, answer=question.other, other=question.answer)
    return question


def _values(sample: Sample, setting: Setting, said: Said) -> Floats:
    reader = cell_reader(setting.decimal, state=said.role in ("fan", "backup", "cover"))
    return numbers(sample.cells, reader, point=setting.decimal == ".")


class _Judge:
    """Works out one column; collects questions on the way."""

    def __init__(
        self,
        sample: Sample,
        said: Said,
        values: Floats,
        setting: Setting,
        common: str | None,
        spec: Spec | None,
    ) -> None:
        self.sample, self.said, self.setting, self.common, self.spec = sample, said, setting, common, spec
        self.questions: list[Question] = []
        self.fitted: str | None = None  # the one unit that a temperature's figures fit
        filled = np.array([bool(c.strip()) and c.strip().lower() not in EMPTY_WORDS for c in sample.cells])
        self.values = values[np.isfinite(values)]
        self.texts = [c.strip().strip('"') for c, full in zip(sample.cells, filled, strict=True) if full]
        unread = int(np.count_nonzero(values == UNREADABLE))
        self.is_text = unread > _TEXT_SHARE * max(1, len(self.texts))
        words = {text.lower() for text in self.texts}
        self.is_state = bool(words) and words <= STATE_WORDS.keys() | {"0", "1", "0.0", "1.0"}

    def guess(self) -> ColumnGuess:
        role, confidence, reason = self._role()
        measure, unit, unit_confidence, unit_reason = self._unit(role)
        if role not in ("skip", "remark") and not self.spec:
            role = self._fitting(role, measure)
        way = self._conversion(role, measure, unit)
        kind, stamp, kind_reason = self._kind(role, measure)
        spec = self.spec
        if role == "sun" and not (spec and spec.plane) and not self.said.plane:
            self._ask("on which plane is it measured?", "sun; plane=wall", must=False)
        reasons = [text for text in (reason, unit_reason, kind_reason) if text]
        return ColumnGuess(
            column=self.sample.column,
            place=self.sample.place,
            role=role,
            measure=measure,
            unit=unit,
            conversion=way,
            name=spec.name if spec and spec.name else self._name(role),
            kind=kind,
            stamp=stamp,
            height_m=spec.height_m if spec and spec.height_m is not None else self.said.height_m,
            plane=spec.plane if spec and spec.plane else self.said.plane,
            where=spec.place if spec and spec.place else self.said.place,
            empties=spec.empties if spec else (),
            confidence=min(confidence, unit_confidence),
            reason="; ".join(reasons),
        )

    def _ask(self, what: str, answer: str, *, must: bool) -> None:
        column = self.sample.column
        self.questions.append(Question(f'column "{column}": {what}', f"{column}={answer}", must))

    def _role(self) -> tuple[str, float, str]:
        said = self.said
        if self.spec:
            return self.spec.role, 1.0, "your word"
        if not self.texts:
            return "skip", 0.8, "empty"
        if self.is_text and not self.is_state:
            return self._text_role()
        if said.is_extreme:
            return "skip", 0.8, "an extreme or spread of the interval, no reading"
        if said.role == "remark":
            return "other", 0.5, "called a remark, holds numbers"
        return (said.role, 0.9, "") if said.role is not None else self._role_unsaid()

    def _role_unsaid(self) -> tuple[str, float, str]:
        by_file = said_by(self.setting.stem).role
        temperature = by_file is not None and ROLES[by_file].measure == "temperature"
        if by_file and temperature and _GENERIC.match(self._bare()) and self._may_be_temperature():
            return by_file, 0.6, "the file's name says so"
        if self.is_state:
            self._ask("what is switched on and off here?", "fan", must=False)
            return "other", 0.4, "a switch of unknown use"
        self._ask("what does it measure? It is kept, but not used", "shop at 1.5 m", must=False)
        return "other", 0.4, "its heading does not say"

    def _text_role(self) -> tuple[str, float, str]:
        if self.said.role in ("remark", "cover"):
            return "remark", 0.9, "words"
        if len(set(self.texts)) > 3 and np.mean([len(text) for text in self.texts]) > 12:
            self._ask("are these remarks by hand?", "remark", must=False)
        return "skip", 0.6, "words"

    def _may_be_temperature(self) -> bool:
        unit = self.said.unit
        return unit is None or measure_of(unit) == "temperature"

    def _bare(self) -> str:
        return re.sub(r"[\[({<].*$|[,;].*$", "", self.said.bare).strip(" _-?!*:#")

    def _unit(self, role: str) -> tuple[Measure, str, float, str]:
        """Return measure, unit, confidence and reason."""
        if role in ("skip", "remark"):
            return ("text" if role == "remark" else "number"), "", 1.0, ""
        measures = ROLES[role].measures
        if self.spec and self.spec.unit:
            return self._measure_for(measures, self.spec.unit), self.spec.unit, 1.0, ""
        if self.said.unit is not None:
            unit = self.said.unit
            return self._measure_for(measures, unit), unit, 1.0, ""
        return self._unit_by_cells(role)

    def _measure_for(self, measures: tuple[Measure, ...], unit: str) -> Measure:
        for measure in measures:
            if conversion(unit, measure) is not None and (unit or measure == measures[0]):
                return measure if measure != "number" or measure_of(unit) == "number" else measure_of(unit)
        return measure_of(unit)

    def _unit_by_cells(self, role: str) -> tuple[Measure, str, float, str]:
        measure = ROLES[role].measure
        if role == "other":
            return ("state", "1", 0.6, "") if self.is_state else ("number", "", 0.6, "")
        if measure == "temperature":
            return self._temperature_unit(role)
        top = float(self.values.max()) if len(self.values) else 0.0
        if measure == "state":
            return self._state_unit(role, top)
        if measure == "share":
            return measure, ("%" if top > 1.5 else "1"), 0.8, "its values are per cent" if top > 1.5 else ""
        usual = {"irradiance": "W/m2", "power": "W"}.get(measure)
        if usual:
            self._ask(f"no unit; taken as {usual}, is it?", f"{role}; unit={usual}", must=False)
            return measure, usual, 0.5, "the usual unit"
        choices = ", ".join(units_of(measure)[:6])
        self._ask(f"in which unit ({choices})?", f"{role}; unit={units_of(measure)[0]}", must=True)
        return measure, units_of(measure)[0], 0.2, "no unit given"

    def _state_unit(self, role: str, top: float) -> tuple[Measure, str, float, str]:
        levels = len(np.unique(self.values))
        if self.is_state or top <= 1.0:
            return "state", "1", 0.9, ""
        if top <= 100.0 and levels <= 2:
            return "state", "%", 0.7, "0 and 100"
        watts = {"fan": "fan power", "backup": "backup power"}.get(role, "other")
        self._ask("neither 0 and 1 nor on and off; per cent or watts?", f"{watts}; unit=W", must=True)
        return "state", "%", 0.2, "not two-valued"

    def _temperature_unit(self, role: str) -> tuple[Measure, str, float, str]:
        if self.setting.temperature_unit:
            return "temperature", self.setting.temperature_unit, 1.0, "the unit is your word"
        if self.common:
            return "temperature", self.common, 0.8, "as the file's other temperatures"
        fits = [unit for unit in ("C", "F") if self._fits(role, unit)]
        if len(fits) == 1:
            self.fitted = fits[0]
            return "temperature", fits[0], 0.8, f"no {role} shows such figures in the other unit"
        likely = self.setting.likelier_unit
        other = "C" if likely == "F" else "F"
        text = f'column "{self.sample.column}": degrees Celsius or Fahrenheit? The file does not say'
        self.questions.append(Question(text, f"unit={likely}", must=True, other=f"unit={other}"))
        return "temperature", likely, 0.2, NO_UNIT

    def _fits(self, role: str, unit: str) -> bool:
        """Return whether nearly all values lie within what the role can show."""
        way = conversion(unit, "temperature") or Conversion(unit)
        si, facts = way.si(self.values), ROLES[role]
        low, high = (
            (-np.inf if facts.low is None else facts.low),
            (np.inf if facts.high is None else facts.high),
        )
        return len(si) > 0 and float(np.mean((si >= low) & (si <= high))) > 0.98

    def _fitting(self, role: str, measure: Measure) -> str:
        """Return the role, or "other" when the column measures something else."""
        if measure in ROLES[role].measures:
            return role
        self._ask(f"is called {role}, but measures {measure}; kept, but not used", "skip", must=False)
        return "other"

    def _conversion(self, role: str, measure: Measure, unit: str) -> Conversion:
        way = conversion(unit, measure)
        if way is None or (
            self.spec and role not in ("skip", "remark") and measure not in ROLES[role].measures
        ):
            wanted = ", ".join(unit for kind in ROLES[role].measures for unit in units_of(kind))
            raise ReadingsError(
                f'column "{self.sample.column}": {role} is not measured in {unit}; units are {wanted}'
            )
        return way

    def _kind(self, role: str, measure: Measure) -> tuple[Kind, Stamp, str]:
        spec = self.spec
        kind: Kind = "point"
        stamp: Stamp = "point"
        reason = ""
        if role in ("skip", "remark"):
            return kind, stamp, reason
        if measure == "state":
            kind = "state"
        elif measure in ("energy", "time", "volume", "mass"):
            grows = (
                len(self.values) > 3 and bool(np.all(np.diff(self.values) >= 0.0)) and self.values[-1] > 0.0
            )
            kind, stamp = ("counter", "point") if grows else ("amount", "end")
            reason = "never falls: a counter" if grows else "what came since the row before"
        elif self.said.is_mean:
            kind, stamp, reason = "mean", "end", "a mean, stamped at its end as loggers do"
        if spec and spec.kind and spec.kind != kind:
            kind, reason = spec.kind, ""
            stamp = "end" if kind in ("mean", "amount") else "point"
        if spec and spec.stamp:
            stamp = spec.stamp
        return kind, stamp, reason

    def _name(self, role: str) -> str:
        column = self.sample.column
        if found := re.search(r"\bLBL:\s*([^,)\]]+)", column):
            return found[1].strip()
        bare = self._bare()
        if role not in ("other", "skip") and (_GENERIC.match(bare) or not bare):
            return (
                self.setting.stem
                if self.setting.stem and not re.search(r"\d", bare)
                else f"{role} {bare}".strip()
            )
        return (bare or column)[:60]


def _told_apart(found: list[ColumnGuess], specs: dict[str, Spec]) -> tuple[ColumnGuess, ...]:
    """Give channels of like name a number each; names the builder gave stay."""
    taken = Counter(item.name for item in found if item.role != "skip")
    used: set[str] = set()
    out = []
    for item in found:
        given = specs.get(item.column)
        name = item.name
        if item.role != "skip" and taken[name] > 1 and not (given and given.name):
            name = item.column if item.column not in used else f"{item.column} {item.place}"
        used.add(name)
        out.append(replace(item, name=name))
    return tuple(out)
