"""Projects to start from: the invented demo, and a fresh file with every usual key explained."""

from __future__ import annotations

from importlib import resources


def demo_text() -> str:
    """Return the project file of the invented demo."""
    return _library("demo.toml")


def _library(name: str) -> str:
    """Return a text that ships with the package."""
    return resources.files("noonwall.model").joinpath("library", name).read_text(encoding="utf-8")
