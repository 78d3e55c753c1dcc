"""What was studied is kept: other units, and answers to other questions, make nothing be calculated again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from noonwall.model.edit import set_value
from noonwall.report.blocks import page_of
from noonwall.web import questions
from noonwall.web.asked import Order
from noonwall.web.asking.question import Question

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Put questions in whose studies only count themselves; returns what was studied."""
    studied: list[str] = []

    def counts(name: str) -> Question:
        def study(_matter: Any, _tell: Any) -> str:
            studied.append(name)
            return name

        return Question(study, lambda _f, _m: {}, lambda _f, _m, _r: page_of(), lambda _f, _m, _r: {})

    monkeypatch.setattr(questions, "QUESTIONS", {f"kind {i}": counts(f"kind {i}") for i in range(14)})
    monkeypatch.setattr(questions, "FOUND", questions._Drawers())
    return studied


def ask(bench: Bench, question: str, text: str, system: str = "metric") -> None:
    questions.answer(Order(question, text, str(bench.desk.folder), system), lambda _done, _of: None)  # type: ignore[arg-type]


def test_other_units_are_told_from_the_same_study(bench: Bench, counted: list[str]) -> None:
    ask(bench, "kind 0", bench.desk.text)
    ask(bench, "kind 0", set_value(bench.desk.text, "units", "us"), "us")
    assert counted == ["kind 0"]


def test_no_question_pushes_another_out(bench: Bench, counted: list[str]) -> None:
    for _ in range(2):
        for i in range(14):
            ask(bench, f"kind {i}", bench.desk.text)
    assert len(counted) == 14


def test_the_state_before_is_kept_for_undo_and_older_ones_make_room(bench: Bench, counted: list[str]) -> None:
    texts = [set_value(bench.desk.text, "wall.gap", f"{gap} mm") for gap in (80, 90, 100)]
    for text in (*texts, texts[1]):
        ask(bench, "kind 0", text)
    assert len(counted) == 3
    ask(bench, "kind 0", texts[0])
    assert len(counted) == 4
