"""A new project's pages say that their figures are the template's, until they are the builder's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fakes.worker import IdleWorker
from noonwall.model.edit import set_values
from noonwall.model.templates import create

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractAsyncContextManager
    from pathlib import Path

    from nicegui.testing.user import User

    from noonwall.web.bench import Bench

OWN = {"site.latitude": "44.3 N", "shop.length": "30 ft", "shop.part[1].area": "860 ft2"}


async def test_what_is_still_the_templates_is_told_until_it_is_not(
    bench_over: Callable[[Path], Bench],
    opened: Callable[[Bench], AbstractAsyncContextManager[User]],
    tmp_path: Path,
) -> None:
    bench = bench_over(create(tmp_path / "shop", system="us").parent)
    bench.quick, bench.long = IdleWorker(), IdleWorker()
    async with opened(bench) as user:
        await user.open("/shop")
        await user.should_see("all that is told here is of the template")
        await user.should_see("No price of propane yet")
        bench.desk.change(lambda text: set_values(text, OWN), "typed")
        await user.should_see("3 of 4 parts are yours")
        user.find("The glazed wall's size and the way it faces: it is so").click()
        await user.should_not_see("Not your shop yet")
    assert bench.desk.value("mine") == ["wall"]
    assert bench.desk.undo() == "the glazed wall's size and the way it faces: told to be your shop's own"


async def test_the_demo_has_no_such_word(user: User, bench: Bench) -> None:
    bench.quick, bench.long = IdleWorker(), IdleWorker()
    await user.open("/shop")
    await user.should_not_see("Not your shop yet")
