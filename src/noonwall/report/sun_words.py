"""The sun on a wall in plain sentences: chosen by the numbers, told in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.phrases import listed
from noonwall.report.reader import percent
from noonwall.studies.sunlight import ALL_PLANTS
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.report.reader import Reader
    from noonwall.studies.sunlight import Sunlight, Take

LEAST = 0.02  # less than this of the light is not worth a word


def quoted(names: Sequence[str]) -> str:
    """Return a builder's names in a sentence.

    >>> quoted(["fir 1", "maple"])
    '"fir 1" and "maple"'
    """
    return listed([f'"{name}"' for name in names])


def subjects(found: Sunlight) -> list[Take]:
    """Return what is spoken of: each group of one name as one, and every obstacle outside of them."""
    named = [take for take in found.groups if take.name != ALL_PLANTS]
    inside = {name for take in named for name in take.members}
    alone = [take for take in found.takes if take.name not in inside]
    return sorted([*named, *alone], key=lambda take: -sum(take.sun_kwh))


def findings(found: Sunlight, reader: Reader) -> list[str]:
    """Return in plain sentences what reaches the wall, and who keeps the rest off, when."""
    said = [_whole(found, reader), _moment(found, reader), _afternoons(found), _most(found, reader)]
    return [sentence for sentence in said if sentence]


def _whole(found: Sunlight, reader: Reader) -> str:
    whole = found.whole
    if whole.sun_on_wall_open_site_kwh <= 0.0:
        return "No sun falls on this wall."
    share = whole.sun_on_wall_kwh / whole.sun_on_wall_open_site_kwh
    sun = reader.heat_text(whole.sun_on_wall_kwh)
    said = f"{sun} of sun reaches the glazing {_span(found)}, {percent(share)} of an open site's"
    if whole.pv_kwh is not None and whole.pv_open_site_kwh:
        kept = percent(whole.pv_kwh / whole.pv_open_site_kwh)
        said += f"; the modules make {whole.pv_kwh:,.0f} kWh of electricity, {kept} of an open site's"
    return f"{said}."


def _moment(found: Sunlight, reader: Reader) -> str:
    here = found.moment
    when = f"{reader.day_text(here.time)} at {reader.clock_text(here.time)}"
    if here.beam_share is None:
        where = "below the horizon" if here.elevation_deg <= 0.0 else "not before this wall"
        return f"On {when} the sun is {where}."
    takers = [t for t in subjects(found) if (t.moment_share or 0.0) >= LEAST]
    said = f"On {when} {percent(here.beam_share)} of the direct sun reaches the glazing"
    if not takers:
        return f"{said}."
    takers.sort(key=lambda take: -(take.moment_share or 0.0))
    kept = [f'"{take.name}" keep{_s(take)} off {percent(take.moment_share or 0.0)}' for take in takers]
    return f"{said}; {listed(kept)}."


def _s(take: Take) -> str:
    return "" if take.kind in {"modules", "group"} else "s"


def _afternoons(found: Sunlight) -> str:
    noon = found.afternoons
    if noon.beam_share_kept is None:
        return ""
    months = " and ".join(MONTHS[month - 1] for month in noon.months)
    said = f"Past noon in {months} {percent(noon.beam_share_kept)} of the direct sun reaches the glazing"
    if noon.pv_share_kept is not None:
        said += f" and the modules make {percent(noon.pv_share_kept)} of an open site's electricity"
    first = max(subjects(found), key=lambda take: take.afternoon_share or 0.0, default=None)
    if first is None or (first.afternoon_share or 0.0) < LEAST:
        return f"{said}."
    then = percent(noon.beam_share_kept + (first.afternoon_share or 0.0))
    said += f'; without "{first.name}" it would be {then}'
    if noon.pv_share_kept is not None and first.afternoon_pv_share is not None:
        said += f" and {percent(noon.pv_share_kept + first.afternoon_pv_share)}"
    return f"{said}."


def _most(found: Sunlight, reader: Reader) -> str:
    takers = [take for take in subjects(found) if sum(take.sun_kwh) >= 1.0][:3]
    if not takers:
        return "Nothing around keeps sun off this wall."
    parts = [f'{reader.heat_text(sum(take.sun_kwh))} without "{take.name}"' for take in takers]
    span = _span(found)
    return f"{span[:1].upper()}{span[1:]} the glazing would gain {listed(parts, 'or')}."


def _span(found: Sunlight) -> str:
    return "in a year" if len(found.months) == len(MONTHS) else "in the calculated months"
