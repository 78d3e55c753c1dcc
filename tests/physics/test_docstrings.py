"""Docstrings: worked examples run, parts stand in order, sources are on the shelf."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from typing import TYPE_CHECKING

import pytest

import noonwall.physics
from noonwall import citations

if TYPE_CHECKING:
    from collections.abc import Callable

MODULES = tuple(f"noonwall.physics.{item.name}" for item in pkgutil.iter_modules(noonwall.physics.__path__))
PARTS = ("Returns", "Source", "Valid", "Departs", ">>>")


def functions(module_name: str) -> list[Callable[..., object]]:
    module = importlib.import_module(module_name)
    return [
        item
        for name, item in inspect.getmembers(module, inspect.isfunction)
        if item.__module__ == module_name and not name.startswith("_")
    ]


FUNCTIONS = [item for module in MODULES for item in functions(module)]


@pytest.mark.parametrize("module_name", MODULES)
def test_examples_run(module_name: str) -> None:
    results = doctest.testmod(importlib.import_module(module_name))
    assert results.attempted > 0
    assert results.failed == 0


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda item: item.__name__)
def test_parts_in_order(function: Callable[..., object]) -> None:
    lines = inspect.getdoc(function).splitlines()
    at = [next((i for i, line in enumerate(lines) if line.startswith(part)), -1) for part in PARTS]
    assert -1 not in at, f"{function.__name__} lacks {PARTS[at.index(-1)]}"
    assert at == sorted(at)


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda item: item.__name__)
def test_arguments_are_named_with_unit(function: Callable[..., object]) -> None:
    text = re.split(r"^>>>", inspect.getdoc(function), maxsplit=1, flags=re.MULTILINE)[0]
    for name, parameter in inspect.signature(function).parameters.items():
        assert re.search(rf"\b{name}\b.*:", text), f"{function.__name__} does not explain {name}"
        assert parameter.annotation is not inspect.Parameter.empty


def test_sources_are_on_the_shelf() -> None:
    found = citations.sources_of(FUNCTIONS)
    assert len(found) > 25
    assert all(item.text and item.seen in ("quoted", "carried", "memory") for item in found)


def test_every_key_carries_the_year_of_its_source() -> None:
    for item in citations.citations():
        assert item.key.rsplit("_", 1)[1] in item.text, item.key


def test_unknown_source_names_the_nearest() -> None:
    with pytest.raises(KeyError, match="nearest is elsherbiny_1982"):
        citations.citation("elsherbini_1982")


def test_bibliography_is_sorted_and_without_doubles() -> None:
    found = citations.bibliography(["walton_1983", "blasius_1913", "walton_1983"])
    assert [item.key for item in found] == ["blasius_1913", "walton_1983"]


def test_keys_in_text() -> None:
    assert citations.keys_in("see elsherbiny_1982 and ashrae_901_2019, not area_m2 or rate_1") == (
        "elsherbiny_1982",
        "ashrae_901_2019",
    )
    assert citations.keys_in(None) == ()
