"""One file a page; each has ``register(bench)``, which puts it at its address."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

PAGES = (
    "year",
    "night",
    "warm",
    "hot",
    "variants",
    "readings",
    "lookback",
    "site",
    "place",
    "shop",
    "wall",
    "air",
)


def every_page(bench: Bench) -> None:
    """Register all pages."""
    for name in PAGES:
        import_module(f"noonwall.web.pages.{name}").register(bench)
