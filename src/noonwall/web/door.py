"""The closed door: who may ask the server anything, what they may send, and what browsers are told to refuse.

Asked through every request, socket and file before a page sees it. On the builder's own machine the names of that
machine are the key: a page from elsewhere that gets the browser to ask here is refused by Host, Origin and Sec-Fetch.
Shared in a network, a device must have been admitted by a code as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs

from noonwall.web import entry
from noonwall.web.codes import Admitted

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, MutableMapping

    from noonwall.web.codes import Codes

    Scope = MutableMapping[str, Any]
    Message = MutableMapping[str, Any]
    Receive = Callable[[], Awaitable[Message]]
    Send = Callable[[Message], Awaitable[None]]
    App = Callable[[Scope, Receive, Send], Awaitable[None]]

OWN_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
ENTRY = "/enter"
READING = frozenset({"GET", "HEAD"})
METHODS = frozenset({*READING, "POST"})
MOST_BODY_BYTES = 128_000_000  # the largest upload with its wrapping; a page may allow less
MOST_FORM_BYTES = 4_000
MOST_OTHER_BYTES = 2_000_000
OF_A_PAGE = frozenset({b"content-security-policy", b"referrer-policy"})  # may be a page's own
_UPLOAD = re.compile(r"^(/_nicegui/client/[^/]+/upload/\d+|/readings/file)$")
_HOST = re.compile(r"^(\[[0-9a-f:]+\]|[a-z0-9.-]+)(:\d{1,5})?$")


@dataclass(frozen=True)
class Refused:
    """Why a request is turned away."""

    status: int
    line: str


def host_name(host: str) -> str | None:
    """Return the name in a Host header without its port, None when it is no such thing."""
    found = _HOST.match(host.strip().lower())
    return found[1] if found else None


def asked_from_elsewhere(headers: dict[str, str], host: str, *, writing: bool) -> bool:
    """Whether another site makes the browser ask.

    headers  of the request, names in small letters
    host     the Host header, already found to be ours
    writing  a socket or a method that may change something: then the browser must say where it comes from
    """
    origin = headers.get("origin")
    if origin is not None and origin.lower() != f"http://{host.strip().lower()}":
        return True
    if writing:
        return origin is None
    site = headers.get("sec-fetch-site", "none")
    to_look = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
    return site not in {"none", "same-origin"} and not to_look


def judged(scope: Scope, names: frozenset[str]) -> Refused | None:
    """Return why a request or socket is turned away, None when it may go on.

    scope  of the request, as ASGI describes it;  names  under which this server may be asked
    """
    every = [(name.decode("latin-1").lower(), value.decode("latin-1")) for name, value in scope["headers"]]
    hosts = [value for name, value in every if name == "host"]
    if len(hosts) != 1 or host_name(hosts[0]) not in names:
        return Refused(421, "asked under a name that is not this machine's")
    socket = scope["type"] == "websocket"
    method = "GET" if socket else scope["method"]
    if method not in METHODS:
        return Refused(405, "only looking and sending is possible here")
    if asked_from_elsewhere(dict(every), hosts[0], writing=socket or method not in READING):
        return Refused(403, "asked from another site")
    return None


def most_bytes(path: str) -> int:
    """Return how large the body of a request to a path may be [bytes]."""
    if _UPLOAD.match(path):
        return MOST_BODY_BYTES
    return MOST_FORM_BYTES if path == ENTRY else MOST_OTHER_BYTES


def policy(host: str) -> str:
    """Return what a browser may load and run on our pages: nothing that is not from here.

    The page library writes scripts and styles into its pages and makes functions of templates, hence the two
    'unsafe' words; no address but ours can be fetched from, posted to, or framed by.
    """
    return "; ".join((
        "default-src 'self'",
        "script-src 'self' 'unsafe-inline' 'unsafe-eval'",
        "style-src 'self' 'unsafe-inline'",
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        f"connect-src 'self' ws://{host}",
        "worker-src 'self' blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-src 'none'",
        "frame-ancestors 'none'",
    ))  # fmt: skip


def headers_for(host: str) -> list[tuple[bytes, bytes]]:
    """Return the headers that every answer carries."""
    told = {
        "content-security-policy": policy(host),
        "x-frame-options": "DENY",
        "x-content-type-options": "nosniff",
        "referrer-policy": "no-referrer",
        "cross-origin-opener-policy": "same-origin",
        "cross-origin-resource-policy": "same-origin",
        "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    }
    return [(name.encode(), value.encode("latin-1")) for name, value in told.items()]


class TooLargeError(Exception):
    """A body went over its limit while it came in."""


class Door:
    """Stands before the whole server; with ``codes`` only admitted devices get further than the entry page."""

    def __init__(
        self,
        app: App,
        names: frozenset[str] = OWN_NAMES,
        codes: Codes | None = None,
        admitted: Callable[[str], None] | None = None,
        cookie: str = "noonwall",
    ) -> None:
        self._app, self._names, self._codes, self._cookie = app, names, codes, cookie
        self._admitted = admitted

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let through, turn away, or ask for the code."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        refused = judged(scope, self._names)
        if refused is not None:
            await _answer(scope, send, refused.status, refused.line)
            return
        send = _with_headers(scope, send)
        if self._codes is not None and not self._codes.knows(_cookie(scope, self._cookie)):
            await self._at_the_door(scope, receive, send)
            return
        if scope["type"] == "websocket":
            await self._app(scope, receive, send)
            return
        await self._limited(scope, receive, send)

    async def _limited(self, scope: Scope, receive: Receive, send: Send) -> None:
        most, came, begun = most_bytes(scope["path"]), 0, False
        if _length(scope) > most:
            await _answer(scope, send, 413, f"larger than {most // 1000} kB")
            return

        async def counted() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > most:
                raise TooLargeError
            return message

        async def noted(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self._app(scope, counted, noted)
        except TooLargeError:
            if not begun:
                await _answer(scope, send, 413, f"larger than {most // 1000} kB")

    async def _at_the_door(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a device that was not admitted: only the entry page is there for it."""
        if scope["type"] == "http" and scope["path"] == ENTRY:
            if scope["method"] == "POST":
                await self._tried(scope, receive, send)
            else:
                await _page(send, 200, entry.page())
        elif scope["type"] == "http" and scope["path"] == "/" and scope["method"] in READING:
            await _moved(send, ENTRY)
        else:
            await _answer(scope, send, 401, "not admitted; open / and give the code")

    async def _tried(self, scope: Scope, receive: Receive, send: Send) -> None:
        assert self._codes is not None  # noqa: S101 - _at_the_door is only reached with codes
        body = await _small_body(receive)
        if body is None:
            await _answer(scope, send, 413, "larger than a code")
            return
        typed = parse_qs(body.decode("latin-1")).get("code", [""])[0]
        address = str((scope.get("client") or ("unknown", 0))[0])
        outcome = self._codes.enter(typed, address)
        if isinstance(outcome, Admitted):
            cookie = f"{self._cookie}={outcome.token}; HttpOnly; SameSite=Strict; Path=/"
            await _moved(send, "/", ("set-cookie", cookie))
            if self._admitted is not None:
                self._admitted(address)
            return
        more = ("retry-after", str(int(outcome.wait_s) + 1))
        await _page(send, 429 if outcome.line.startswith("too many") else 403, entry.page(outcome.line), more)


async def _small_body(receive: Receive) -> bytes | None:
    body = b""
    while True:
        message = await receive()
        body += bytes(message.get("body", b""))
        if len(body) > MOST_FORM_BYTES:
            return None
        if not message.get("more_body"):
            return body


def _value(scope: Scope, wanted: bytes) -> str:
    return next((v.decode("latin-1") for n, v in scope["headers"] if n.lower() == wanted), "")


def _length(scope: Scope) -> int:
    told = _value(scope, b"content-length")
    return int(told) if told.isdigit() and len(told) < 16 else 0


def _cookie(scope: Scope, name: str) -> str:
    for part in _value(scope, b"cookie").split(";"):
        key, _, value = part.strip().partition("=")
        if key == name:
            return value
    return ""


def _with_headers(scope: Scope, send: Send) -> Send:
    ours = headers_for(_value(scope, b"host"))
    names = {name for name, _ in ours}

    async def send_on(message: Message) -> None:
        if message["type"] == "http.response.start":
            theirs = [(n.lower(), v) for n, v in message.get("headers", [])]
            own = {n for n, _ in theirs if n in OF_A_PAGE}
            kept = [pair for pair in theirs if pair[0] not in names or pair[0] in own]
            message = {**message, "headers": [*kept, *(pair for pair in ours if pair[0] not in own)]}
        await send(message)

    return send_on


async def _answer(scope: Scope, send: Send, status: int, line: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008})
        return
    text = f"noonwall: {line}\n".encode()
    head = [(b"content-type", b"text/plain; charset=utf-8"), (b"x-content-type-options", b"nosniff")]
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": text})


async def _page(send: Send, status: int, text: str, *more: tuple[str, str]) -> None:
    told = [("content-type", "text/html; charset=utf-8"), ("cache-control", "no-store"),
            ("content-security-policy", entry.POLICY), ("referrer-policy", entry.REFERRER), *more]  # fmt: skip
    head = [(name.encode(), value.encode()) for name, value in told]
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": text.encode()})


async def _moved(send: Send, to: str, *more: tuple[str, str]) -> None:
    told = [("location", to), ("cache-control", "no-store"), *more]
    head = [(name.encode(), value.encode()) for name, value in told]
    await send({"type": "http.response.start", "status": 303, "headers": head})
    await send({"type": "http.response.body", "body": b""})
