"""``noonwall open``: what it opens, where, and how it ends."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import click
import pytest

from fakes.servers import asked, free_port, opened
from fakes.worker import IdleWorker
from noonwall.cli import open as opening
from noonwall.cli.main import run
from noonwall.model.edit import set_value
from noonwall.model.templates import create

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed
    from noonwall.web.bench import Bench


def test_ctrl_c_ends_it_without_a_traceback(tmp_path: Path) -> None:
    folder = create(tmp_path / "shed", demo=True).parent
    with opened(folder) as running:
        assert asked(running.port, "GET /").status == 200
        running.process.send_signal(signal.SIGINT)
        time.sleep(0.02)
        running.process.send_signal(signal.SIGINT)
        assert running.process.wait(20) == 0
    assert "Traceback" not in running.said
    assert "everything shown as saved is on the disk" in running.said


def test_ctrl_c_while_it_is_still_loading(tmp_path: Path) -> None:
    folder = create(tmp_path / "shed", demo=True).parent
    words = [
        sys.executable,
        "-m",
        "noonwall",
        "open",
        str(folder),
        "--no-browser",
        "--port",
        str(free_port()),
    ]
    process = subprocess.Popen(
        words, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, start_new_session=True
    )
    time.sleep(0.6)
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=30)
    assert process.returncode in {0, 130, -signal.SIGINT}
    assert process.returncode < 0 or b"Traceback" not in said


def test_a_taken_port_is_told(typed: Typed, project: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        told = typed("open", project, "--no-browser", "--port", str(taken.getsockname()[1]))
    assert told.code == 2
    assert "is taken by another program" in told.complaint


def test_without_a_port_the_next_free_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        first = int(taken.getsockname()[1])
        monkeypatch.setattr(opening, "DEFAULT_PORT", first)
        assert first < opening.chosen_port(None, lan=False) < first + 50


@pytest.mark.parametrize("words", [["nowhere"], ["broken"], ["folder"]])
def test_an_unreadable_project_is_one_line(
    words: list[str], typed: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "noonwall.toml").write_text("[[[")
    (tmp_path / "folder").mkdir()
    monkeypatch.chdir(tmp_path)
    told = typed("open", *words, "--no-browser")
    assert told.code == 2
    assert told.complaint


class NeverBegun(IdleWorker):
    """Takes no order ahead."""

    def ahead(self, order: object) -> None:
        """Begin nothing."""


def bench_of(project: str, monkeypatch: pytest.MonkeyPatch, *told: str) -> Bench:
    """Return the bench that ``noonwall open`` would serve."""
    served: list[Bench] = []
    monkeypatch.setattr(opening, "serve", lambda bench, *_rest, **_how: served.append(bench))
    monkeypatch.setattr("noonwall.web.worker.Worker", NeverBegun)
    assert run(["open", project, *told]) == 0
    return served[0]


def test_a_project_that_names_no_units_is_shown_in_those_of_the_variable(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = create(tmp_path / "shed", demo=True)
    without = set_value(file.read_text(), "units", None)
    for named, variable, shown in [
        (None, "us", "us"), (None, " US ", "us"), (None, "", "metric"), (None, "metric", "metric"),
        ("metric", "us", "metric"), ("us", "metric", "us"),
    ]:  # fmt: skip
        file.write_text(set_value(without, "units", named))
        monkeypatch.setenv("NOONWALL_UNITS", variable)
        bench = bench_of(str(file), monkeypatch)
        assert (bench.reader.system, bench.result("year").order.system) == (shown, shown)


def test_a_word_that_names_no_units_is_one_line(
    typed: Typed, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NOONWALL_UNITS", "feet")
    said = typed("open", project, "--no-browser")
    assert said.code == 2 and "NOONWALL_UNITS is 'feet'" in said.complaint


def test_the_demo_is_made_once_and_opened_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = opening.demo_folder(tmp_path)
    assert made == tmp_path / "noonwall-demo"
    assert {"noonwall.toml", "readings.db"} <= {file.name for file in made.iterdir()}
    assert "INVENTED" in capsys.readouterr().err
    file = made / "noonwall.toml"
    file.write_text(file.read_text() + "# mine\n")
    assert opening.demo_folder(tmp_path) == made
    assert file.read_text().endswith("# mine\n")
    assert "as you left it" in capsys.readouterr().err
    assert [entry.name for entry in tmp_path.iterdir()] == ["noonwall-demo"], "nothing half-made stays"


def test_a_folder_of_another_kind_in_the_demos_place_is_left_alone(tmp_path: Path, typed: Typed) -> None:
    (tmp_path / "noonwall-demo").write_text("mine")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        told = typed("open", "--no-browser")
    assert told.code == 2
    assert "noonwall-demo" in told.err
    assert (tmp_path / "noonwall-demo").read_text() == "mine"


def test_no_screen_no_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(
        "webbrowser.open", lambda _: pytest.fail("a text browser would take over the terminal")
    )
    assert not opening.open_browser("http://127.0.0.1:1/")


def test_sharing_needs_a_network(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("noonwall.web.network.own_addresses", tuple)
    with pytest.raises(click.UsageError, match="in no network"):
        opening.sharing(8719)


def test_the_code_is_printed_with_its_picture(capsys: pytest.CaptureFixture[str]) -> None:
    from noonwall.web.codes import Codes

    opening.tell_code(Codes(), ("192.168.1.20", "10.0.0.5"), 8719)
    said = capsys.readouterr().out
    assert "http://192.168.1.20:8719/" in said
    assert "http://10.0.0.5:8719/" in said
    assert sum("█" in line or "▀" in line or "▄" in line for line in said.splitlines()) > 12


@pytest.mark.parametrize("how", ["refused", "stopped"])
def test_pages_do_not_wait_for_a_first_year_that_never_comes(how: str, tmp_path: Path) -> None:
    from noonwall.web.bench import Bench
    from noonwall.web.desk import Desk

    bench = Bench(Desk(create(tmp_path / "shed", demo=True).parent))
    bench.preparing = True
    if how == "refused":
        bench.result("year").refused = "no such weather"
    else:
        bench.result("year").stop()
    opening.tell_preparing(bench)
    assert not bench.preparing
