"""Accepted cases written into a project: others stay, what is dropped goes with its date."""

from __future__ import annotations

from fakes.projects import plain_text
from noonwall.model.file import from_text
from noonwall.studies.accepting import given_for, write_accepted


def test_cases_are_accepted_for_their_pieces_and_dropped_again() -> None:
    once = write_accepted(plain_text(), {"fans dead": ["frame (softwood)", "studs (softwood)"]}, "2026-03-01")
    twice = write_accepted(once, {"as described": ["frame (softwood)"]}, "2026-04-02")
    hot = from_text(twice).hot
    assert hot.accepted == ("fans dead", "as described")
    assert given_for(hot, "fans dead") == ("2026-03-01", ("frame (softwood)", "studs (softwood)"))
    assert given_for(hot, "as described") == ("2026-04-02", ("frame (softwood)",))
    left = from_text(write_accepted(twice, {"fans dead": None}, "2026-05-03")).hot
    assert left.accepted == ("as described",)
    assert given_for(left, "fans dead") is None
