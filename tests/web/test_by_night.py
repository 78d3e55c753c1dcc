"""A page shows its pictures in dark inks while it is dark; what is opened alone, kept or printed stays white."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from fakes.pages import answered

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


async def test_a_picture_is_there_by_day_and_by_night(user: User, bench: Bench) -> None:
    import matplotlib.image as mpl_image

    await user.open("/")
    await answered(bench.result("year"))
    corners = []
    for more in ("", "&night=1"):
        came = await user.http_client.get(f"/picture/year/year.png?v=1{more}")
        assert came.status_code == 200
        corners.append(float(mpl_image.imread(io.BytesIO(came.content), format="png")[2, 2, :3].max()))
    assert corners[0] == 1.0 and corners[1] < 0.2
    await user.should_see("nw-by-night")
