"""The closed door, attacked: from another site, from another name, without a code, with too much, out of the folder."""

from __future__ import annotations

import ast
import asyncio
import re
import signal
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import noonwall
from fakes.servers import Running, asked, opened
from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.edit import set_value
from noonwall.web import codes as c
from noonwall.web.codes import Admitted, Codes, TurnedAway
from noonwall.web.desk import Desk
from noonwall.web.door import MOST_FORM_BYTES, OWN_NAMES, Door, host_name, judged, most_bytes, policy
from noonwall.web.network import own_addresses

if TYPE_CHECKING:
    from collections.abc import Iterator

PACKAGE = Path(noonwall.__file__).parent
HOME = "127.0.0.1:8719"
SOCKET = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
UPGRADE = (
    "Connection: Upgrade", "Upgrade: websocket", "Sec-WebSocket-Version: 13",
    "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
)  # fmt: skip


# ---- as functions -----------------------------------------------------------------------------------------------


def scope(kind: str = "http", method: str = "GET", host: str = HOME, **headers: str) -> dict[str, Any]:
    pairs = [("host", host), *((name.replace("_", "-"), value) for name, value in headers.items())]
    raw = [(name.encode(), value.encode()) for name, value in pairs]
    return {"type": kind, "method": method, "path": "/", "headers": raw, "client": ("127.0.0.1", 1)}


def status(**asked_with: Any) -> int:
    refused = judged(scope(**asked_with), OWN_NAMES)
    return refused.status if refused else 200


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:80", "127.0.0.1:8719", "[::1]:8719"])
def test_the_names_of_this_machine_are_let_in(host: str) -> None:
    assert status(host=host) == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example:8719", "127.0.0.1:8719@evil.example", "",
     "192.168.1.5:8719", "0.0.0.0:8719", "2130706433", "localhost/", "localhost:80:80", "127.0.0.1 evil"],
)  # fmt: skip
def test_another_name_that_leads_here_is_refused(host: str) -> None:
    # DNS rebinding: the attacker's name resolves to this machine, and the browser asks under that name.
    assert status(host=host) == 421


def test_two_hosts_or_none_are_refused() -> None:
    two = scope()
    two["headers"].append((b"host", b"evil.example"))
    assert judged(two, OWN_NAMES) is not None
    assert judged({**scope(), "headers": []}, OWN_NAMES) is not None
    assert host_name("a" * 3000 + "!") is None


def test_a_socket_is_for_our_own_pages() -> None:
    assert status(kind="websocket", origin=f"http://{HOME}") == 200
    for origin in (
        "http://evil.example",
        "null",
        "http://127.0.0.1:3000",
        f"https://{HOME}",
        "http://localhost:8719",
    ):
        assert status(kind="websocket", origin=origin) == 403
    assert status(kind="websocket") == 403


def test_whatever_changes_something_comes_from_our_own_pages() -> None:
    assert status(method="POST", origin=f"http://{HOME}") == 200
    assert status(method="POST", origin="http://evil.example") == 403
    assert status(method="POST") == 403
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"):
        assert status(method=method, origin=f"http://{HOME}") == 405


def test_another_site_may_link_here_but_not_look_in() -> None:
    link = {"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate", "sec_fetch_dest": "document"}
    assert status(**link) == 200
    assert status(**(link | {"sec_fetch_dest": "iframe"})) == 403
    for mode in ("no-cors", "cors", "same-origin"):
        assert status(sec_fetch_site="cross-site", sec_fetch_mode=mode, sec_fetch_dest="image") == 403
        assert status(sec_fetch_site="same-site", sec_fetch_mode=mode) == 403
    assert status(origin="http://evil.example") == 403


def test_pages_may_load_and_send_nothing_elsewhere() -> None:
    told = dict(part.split(" ", 1) for part in policy(HOME).split("; "))
    assert told["default-src"] == "'self'"
    assert told["frame-ancestors"] == told["object-src"] == told["base-uri"] == "'none'"
    assert told["connect-src"] == f"'self' ws://{HOME}"
    assert not any("*" in sources or "https:" in sources for sources in told.values())


def test_only_uploads_may_be_large() -> None:
    assert most_bytes("/readings/file") > 100e6
    assert most_bytes("/enter") == MOST_FORM_BYTES
    assert most_bytes("/anything") < 3e6


# ---- codes ------------------------------------------------------------------------------------------------------


class Clock:
    def __init__(self) -> None:
        self.s = 1000.0

    def __call__(self) -> float:
        return self.s


def test_a_code_is_long_and_admits_one_device() -> None:
    codes = Codes()
    code = codes.issue()
    assert len(set(c.LETTERS)) ** len(code) > 2**99
    assert codes.issue() != code
    first = codes.enter(c.shown(code).lower().replace("-", " "), "10.0.0.2")
    assert isinstance(first, Admitted)
    assert codes.knows(first.token)
    assert isinstance(codes.enter(code, "10.0.0.3"), TurnedAway)
    assert not codes.knows("")
    assert not codes.knows(first.token[:-1])
    assert not Codes().knows(first.token), "an admission ends with the process"


def test_wrong_codes_are_slowed_down_ever_more() -> None:
    clock, waits = Clock(), []
    codes = Codes(clock)
    code = codes.issue()
    for _ in range(8):
        turned = codes.enter("WRONG", "10.0.0.9")
        assert isinstance(turned, TurnedAway)
        waits.append(turned.wait_s)
        at_once = codes.enter(code, "10.0.0.9")
        assert isinstance(at_once, TurnedAway), "even the right one waits its turn"
        clock.s += turned.wait_s + 0.001
    assert waits == [1, 2, 4, 8, 16, 32, 60, 60]
    assert isinstance(codes.enter(code, "10.0.0.9"), Admitted)


def test_many_addresses_together_are_slowed_down_too() -> None:
    clock = Clock()
    codes = Codes(clock)
    code, tried = codes.issue(), 0
    for i in range(3000):
        tried += codes.enter("WRONG", f"10.1.{i // 250}.{i % 250}").line.startswith("that is not")  # type: ignore[union-attr]
        clock.s += 0.1
    assert tried <= 300 / 60 * c.MOST_WRONG + c.MOST_WRONG, "300 s of it"
    assert len(codes._tries) <= c.MOST_ADDRESSES
    clock.s += 61
    assert isinstance(codes.enter(code, "10.9.9.9"), Admitted)


def test_devices_are_counted() -> None:
    codes = Codes()
    for i in range(c.MOST_DEVICES):
        assert isinstance(codes.enter(codes.issue(), f"10.0.0.{i}"), Admitted)
    assert isinstance(codes.enter(codes.issue(), "10.0.0.99"), TurnedAway)


# ---- a real server on this machine -------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    from noonwall.model.templates import create

    folder = create(tmp_path_factory.mktemp("alone") / "shed", demo=True).parent
    with opened(folder) as running:
        yield running


def test_it_listens_on_loopback_alone(alone: Running) -> None:
    local = [row.split() for row in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    listening = [row[1] for row in local if row[3] == "0A" and int(row[1].split(":")[1], 16) == alone.port]
    assert [address.split(":")[0] for address in listening] == ["0100007F"]
    everywhere = Path("/proc/net/tcp6").read_text() if Path("/proc/net/tcp6").exists() else ""
    assert f":{alone.port:04X} 0000" not in everywhere


def test_a_page_carries_the_headers(alone: Running) -> None:
    page = asked(alone.port, "GET /")
    assert page.status == 200
    for told in ("x-frame-options: deny", "x-content-type-options: nosniff", "referrer-policy: no-referrer",
                 "frame-ancestors 'none'", "cross-origin-resource-policy: same-origin"):  # fmt: skip
        assert told in page.head
    assert "\r\nserver:" not in page.head


def test_rebinding_and_foreign_sites_get_nothing_from_a_real_server(alone: Running) -> None:
    evil = "Origin: http://evil.example"
    for path in ("/", "/health", "/static/noonwall.css", "/picture/year/year.png", "/_nicegui/none"):
        assert asked(alone.port, f"GET {path}", host="evil.example").status == 421
    assert asked(alone.port, "GET /_nicegui_ws/socket.io/?EIO=4&transport=polling", evil).status == 403
    assert asked(alone.port, f"GET {SOCKET}", *UPGRADE, evil).status == 403
    assert asked(alone.port, f"GET {SOCKET}", *UPGRADE).status == 403
    assert asked(alone.port, f"GET {SOCKET}", *UPGRADE, host="evil.example").status == 403
    ours = f"Origin: http://127.0.0.1:{alone.port}"
    assert asked(alone.port, f"GET {SOCKET}", *UPGRADE, ours).status in {101, 400}, (
        "the page library's own answer"
    )
    assert asked(alone.port, "POST /readings/file?name=x.csv", evil, body=b"a,b").status == 403
    assert asked(alone.port, "GET / ", "X-Forwarded-Host: evil.example").status in {200, 400}


@pytest.mark.parametrize(
    "path",
    ["/static/../../../../etc/passwd", "/static/%2e%2e/%2e%2e/%2e%2e/app.py", "/static/..%2f..%2fapp.py",
     "/static//etc/passwd", "/picture/../year/year.png", "/picture/year/..%2f..%2fnoonwall.toml.png",
     "/picture/year/year.toml", "/picture/nothing/year.png", "/noonwall.toml", "/readings.db"],
)  # fmt: skip
def test_no_path_of_a_request_reaches_a_file_that_is_not_served(path: str, alone: Running) -> None:
    reply = asked(alone.port, f"GET {path}")
    assert reply.status in {403, 404, 405}
    assert "root:" not in reply.body
    assert "def build" not in reply.body


def test_a_flood_is_cut_off(alone: Running) -> None:
    ours = f"Origin: http://127.0.0.1:{alone.port}"
    told = asked(alone.port, "POST /health", ours, "Content-Length: 99000000000", body=b"x")
    assert told.status == 413
    chunk = b"%x\r\n%s\r\n" % (500_000, b"x" * 500_000)
    reply = asked(alone.port, "POST /_nicegui_ws/socket.io/?EIO=4&transport=polling&sid=none", ours,
                  "Transfer-Encoding: chunked", body=chunk * 8 + b"0\r\n\r\n")  # fmt: skip
    assert reply.status in {0, 400, 413}
    assert asked(alone.port, "GET /health").status == 200


def test_a_killed_server_leaves_what_was_saved(tmp_path: Path) -> None:
    from noonwall.model.templates import create

    folder = create(tmp_path / "shed", demo=True).parent
    desk = Desk(folder)
    with opened(folder) as running:
        desk.set("site.snow_albedo", 0.5, desk.value("site.snow_albedo"))
        assert running.stop(signal.SIGKILL) == -signal.SIGKILL
    assert Desk(folder).value("site.snow_albedo") == 0.5
    assert not [f for f in folder.iterdir() if f.name.startswith(".noonwall.toml")]


# ---- shared in a network -------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    from noonwall.model.templates import create

    if not own_addresses():
        pytest.skip("this machine is in no network to share in")
    folder = create(tmp_path_factory.mktemp("shared") / "shed", demo=True).parent
    with opened(folder, "--lan") as running:
        running.wait_for(r"Code for one device:  \S+")
        running.wait_for("do this in a network of your own only")
        yield running


def the_codes(running: Running) -> list[str]:
    return re.findall(r"Code for one device:  (\S+)", running.said)


def given(running: Running, code: str, *headers: str) -> Any:
    origin = f"Origin: http://127.0.0.1:{running.port}"
    return asked(running.port, "POST /enter", *(headers or (origin,)), body=f"code={code}".encode())


def test_without_the_code_only_the_question_is_there(shared: Running) -> None:
    assert "location: /enter" in asked(shared.port, "GET /").head
    question = asked(shared.port, "GET /enter")
    assert question.status == 200
    assert "default-src 'none'" in question.head
    assert "which code" in question.body.lower()
    for path in ("/health", "/static/noonwall.css", "/picture/year/year.png", "/night", "/favicon.ico", "/readings",
                 "/_nicegui/3.18.0/static/nicegui.css", "/_nicegui_ws/socket.io/?EIO=4&transport=polling"):  # fmt: skip
        assert asked(shared.port, f"GET {path}").status == 401, path
    ours = f"Origin: http://127.0.0.1:{shared.port}"
    assert asked(shared.port, f"GET {SOCKET}", *UPGRADE, ours).status == 403
    assert asked(shared.port, "POST /readings/file?name=x.csv", ours, body=b"a").status == 401
    assert asked(shared.port, "GET /", host="evil.example").status == 421
    invented = f"Cookie: noonwall-{shared.port}={'A' * 43}"
    assert asked(shared.port, "GET /health", invented).status == 401


def test_a_code_lets_one_device_in_and_the_next_is_printed(shared: Running) -> None:
    code = the_codes(shared)[-1]
    assert given(shared, code, "Origin: http://evil.example").status == 403
    assert given(shared, code, "Accept: */*").status == 403, "no Origin"
    came_in = given(shared, code)
    assert came_in.status == 303
    cookie = re.search(r"set-cookie: ([^\r]*)", came_in.head)
    assert cookie is not None
    assert {"httponly", "samesite=strict", "path=/"} <= set(cookie[1].split("; "))
    assert cookie[1].startswith(f"noonwall-{shared.port}=")
    shared.wait_for(r"(?s)(Code for one device.*){2}")
    before = len(the_codes(shared))
    assert given(shared, code).status == 403, "used up"
    assert before == 2
    assert the_codes(shared)[-1] != code
    assert code.replace("-", "") not in asked(shared.port, "GET /enter").body


def test_wrong_codes_make_the_real_server_slow(shared: Running) -> None:
    statuses = [given(shared, "AAAA-AAAA-AAAA-AAAA-AAAA").status for _ in range(6)]
    assert statuses[-1] == 429
    assert given(shared, "x" * 5000).status == 413


async def test_an_admitted_device_gets_through() -> None:
    codes, came = Codes(), []

    async def app(_scope: Any, _receive: Any, send: Any) -> None:
        came.append(1)
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"in"})

    admitted = codes.enter(codes.issue(), "10.0.0.2")
    assert isinstance(admitted, Admitted)
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> Any:
        await asyncio.sleep(0)
        return {"type": "http.request", "body": b"", "more_body": False}

    door = Door(app, codes=codes)
    await door(scope(cookie=f"a=b; noonwall={admitted.token}"), receive, send)
    assert came
    assert sent[0]["status"] == 200
    await door(scope(cookie="noonwall=" + "x" * 43), receive, send)
    assert sent[-2]["status"] == 303
    assert len(came) == 1


# ---- the project's files ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["site.horizon_file", "weather.file"])
@pytest.mark.parametrize(
    "name",
    ["../outside.csv", "/etc/passwd", "a/../../outside.csv", "..\\outside.csv", "link.csv", "linked/x.csv"],
)
def test_an_edit_cannot_name_a_file_outside_the_folder(key: str, name: str, shed: Path) -> None:
    (shed.parent / "outside.csv").write_text("0, 5\n180, 5\n")
    (shed / "link.csv").symlink_to(shed.parent / "outside.csv")
    (shed / "linked").symlink_to(shed.parent)
    desk = Desk(shed)
    before = desk.text
    with pytest.raises(ProjectError, match=r"leads out of the project's folder|link that leads out"):
        desk.change(lambda text: set_value(text, key, name), "told")
    assert desk.text == before == (shed / "noonwall.toml").read_text()


def test_a_strangers_project_with_such_a_file_is_not_opened(shed: Path) -> None:
    file = shed / "noonwall.toml"
    file.write_text(set_value(file.read_text(), "site.horizon_file", "/etc/passwd"))
    with pytest.raises(ProjectError, match="leads out of the project's folder"):
        Desk(shed)


def test_a_file_in_the_folder_is_read(shed: Path) -> None:
    (shed / "skyline.csv").write_text("0, 2\n90, 0\n180, 5\n270, 0\n")
    desk = Desk(shed)
    desk.change(lambda text: set_value(text, "site.horizon_file", "skyline.csv"), "told")
    assert desk.project.site.horizon == ((0.0, 2.0), (90.0, 0.0), (180.0, 5.0), (270.0, 0.0))


TREE = '\n[[tree]]\nheight = "8 m"\neast = "{i} m"\nnorth = "-9 m"\n'


@pytest.mark.parametrize(
    "more",
    [
        "".join(TREE.format(i=i) for i in range(100_000)),
        "\ntree = [" + ", ".join("{height = 8}" for _ in range(60_000)) + "]",
        "\nx = " + "[" * 5000 + "]" * 5000,
        "\n[" + ".".join("a" for _ in range(5000)) + "]",
        "\nx = " + "9" * 100_000,
        "\nsnow = 1e999",
        "\nx = " + "{a = " * 3000 + "1" + "}" * 3000,
        "\n" + "\n".join(f"k{i} = 1" for i in range(50_000)),
        "\nx = '" + "y" * 3_000_000 + "'",
    ],
    ids=["trees", "inline", "lists", "dotted", "digits", "huge", "tables", "keys", "long"],
)
def test_a_project_that_would_fill_the_memory_is_refused_in_a_line(more: str, shed: Path) -> None:
    desk = Desk(shed)
    before = desk.text
    began = time.monotonic()
    with pytest.raises(NoonwallError) as caught:
        desk.change(lambda text: text + more, "told")
    assert time.monotonic() - began < 10.0
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 600
    assert (shed / "noonwall.toml").read_text() == before
    (shed / "noonwall.toml").write_text(before + more)
    with pytest.raises(NoonwallError):
        Desk(shed)


def test_nothing_a_stranger_sends_is_run() -> None:
    # Formats that run code when they are read, and words that do.
    forbidden = {"pickle", "marshal", "shelve", "dill", "joblib", "yaml"}
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Import):
                assert not {a.name.split(".")[0] for a in node.names} & forbidden, file
            if isinstance(node, ast.ImportFrom) and node.module:
                assert node.module.split(".")[0] not in forbidden, file
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in {"eval", "exec", "compile"}, file
