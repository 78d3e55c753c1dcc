"""``noonwall recap``: the page, the document, the picture, and what is refused."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from noonwall.logs.furnish import furnish
from noonwall.model.templates import create

if TYPE_CHECKING:
    from fakes.commands import Typed

ROOT = Path(__file__).parents[2]
MONTH = ("--from", "2025-02-01", "--to", "2025-02-28")


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("shed") / "demo"
    furnish(create(place, demo=True))
    return place


@pytest.fixture(scope="module")
def pages(shed: Path) -> dict[str, Any]:
    """Return what February gives, once: the page, the document, the picture."""
    import contextlib
    import io

    from noonwall.cli.main import run

    told = {}
    for name, words in (("page", ["--png", str(shed), "--claim", "5000"]), ("document", ["--json"])):
        out = io.StringIO()
        with contextlib.redirect_stdout(out):
            assert run(["recap", str(shed), *MONTH, *words]) == 0
        told[name] = out.getvalue()
    told["picture"] = (shed / "recap.png").read_bytes()
    return told


def test_the_page_says_that_it_is_invented_and_what_came_in(pages: dict[str, Any]) -> None:
    page = pages["page"]
    assert "INVENTED" in page
    assert "1 February 2025 to 28 February 2025" in page
    assert "give or take" in page
    assert "fans that stood still" in page
    assert "8 Feb to 16 Feb" in page
    assert "Claim of 5,000 kWh: refused" in page
    assert max(len(line) for line in page.splitlines()) <= 100


def test_the_figures_of_the_page_add_up_as_printed(pages: dict[str, Any]) -> None:
    column = pages["page"].split("Where the difference went", 1)[1].split("\n\n", 1)[0]
    start = float(re.search(r"expected on the typical year\s+(-?[\d,.]+)", column)[1].replace(",", ""))  # type: ignore[index]
    end = float(re.search(r"^measured\s+(-?[\d,.]+)", column, re.M)[1].replace(",", ""))  # type: ignore[index]
    before = column.split("\nmeasured")[0]
    steps = [
        float(text.replace(",", "")) for text in re.findall(r"^  [a-z].*?\s([+-]?[\d,.]+)$", before, re.M)
    ]
    assert len(steps) == 8
    assert start + sum(steps) == pytest.approx(end, abs=5.0)  # each figure is rounded to one


def test_the_document_adds_up_exactly(pages: dict[str, Any]) -> None:
    document = json.loads(pages["document"])
    assert document["schema"] == "noonwall.recap/1"
    assert document["invented"] is True
    chain = document["chain"]
    whole = chain["expected_kwh"] + sum(item["kwh"] for item in chain["links"])
    assert whole == pytest.approx(chain["measured_kwh"], rel=1e-12, abs=1e-9)
    assert len(document["days"]) == 28
    assert [item["kind"] for item in document["mishaps"]] == ["fans dead"]
    assert document["change"] is None


def test_the_page_of_json_names_exactly_what_is_there(pages: dict[str, Any]) -> None:
    page = (ROOT / "docs" / "json.md").read_text()
    document = json.loads(pages["document"])

    def tabled(heading: str) -> list[str]:
        section = re.split(r"^#{2,3} ", page[page.index(heading) + len(heading) :], maxsplit=1, flags=re.M)[0]
        return re.findall(r"^\| `([a-z_0-9]+)` \|", section, re.M)

    assert tabled("## `noonwall.recap/1`") == list(document)
    assert tabled("### Weather of a recap") == list(document["weather"])
    assert tabled("### Measured of a recap") == list(document["measured"])
    assert tabled("### Chain of a recap") == list(document["chain"])
    assert tabled("### Rows of a recap") == list(document["months"][0])


def test_the_picture_is_one(pages: dict[str, Any]) -> None:
    assert pages["picture"].startswith(b"\x89PNG")
    assert len(pages["picture"]) > 50_000


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (("--from", "yesterday"), "no date"),
        (("--from", "2024-01-01", "--to", "2024-02-01"), "nothing was read then"),
        (("--png", "no/such/folder"), "no/such"),
        (("--png", __file__), "is a file"),
    ],
)
def test_what_cannot_be_meant_is_one_line(
    typed: Typed, shed: Path, words: tuple[str, ...], wrong: str
) -> None:
    told = typed("recap", shed, *words)
    assert told.code == 2
    assert wrong in told.complaint


def test_a_project_without_readings_says_how_to_get_some(typed: Typed, project: Path) -> None:
    told = typed("recap", project)
    assert told.code == 2
    assert "readings add" in told.complaint
    assert not (project / "readings.db").exists()
