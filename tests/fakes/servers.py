"""A real ``noonwall open`` in a process of its own, and requests as no browser would send them."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PATIENCE_S = 60.0


@dataclass(frozen=True)
class Running:
    """A workbench in a process of its own."""

    port: int
    process: subprocess.Popen[bytes]
    log: Path

    @property
    def said(self) -> str:
        """Return what it printed so far."""
        return self.log.read_text(encoding="utf-8", errors="replace")

    def wait_for(self, pattern: str) -> re.Match[str]:
        """Return the first place where it printed a pattern."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until and self.process.poll() is None:
            found = re.search(pattern, self.said)
            if found:
                return found
            time.sleep(0.03)
        raise AssertionError(f"did not print {pattern}:\n{self.said}")

    def stop(self, how: int = signal.SIGINT) -> int:
        """End it and return its exit code."""
        self.process.send_signal(how)
        return self.process.wait(20)


@dataclass(frozen=True)
class Reply:
    """What came back for a request."""

    status: int
    head: str
    body: str


def free_port() -> int:
    """Return a port that nothing listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def started(folder: Path, port: int, log: Path, *more: str) -> subprocess.Popen[bytes]:
    """Start ``noonwall open`` on a folder, without a browser; what it prints goes to the log."""
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("NICEGUI_", "PYTEST_"))}
    words = [
        sys.executable,
        "-m",
        "noonwall",
        "open",
        str(folder),
        "--port",
        str(port),
        "--no-browser",
        *more,
    ]
    with log.open("wb") as out:
        return subprocess.Popen(words, env=clean, stdout=out, stderr=subprocess.STDOUT, cwd=folder.parent)


@contextmanager
def opened(folder: Path, *more: str) -> Iterator[Running]:
    """Run ``noonwall open`` on a folder until the block ends; it answers when the block begins."""
    port, log = free_port(), folder.parent / f"{folder.name}-{len(more)}.log"
    process = started(folder, port, log, *more)
    running = Running(port, process, log)
    try:
        running.wait_for(r"is open at")
        yield running
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()


def asked(port: int, first_line: str, *headers: str, body: bytes = b"", host: str | None = None) -> Reply:
    """Send a request word by word and return the reply."""
    told = [first_line + " HTTP/1.1", f"Host: {host or f'127.0.0.1:{port}'}", *headers]
    if body and not any(h.lower().startswith(("content-length", "transfer")) for h in headers):
        told.append(f"Content-Length: {len(body)}")
    if not any(h.lower().startswith("connection") for h in headers):
        told.append("Connection: close")
    return sent(port, "\r\n".join([*told, "", ""]).encode("latin-1") + body)


def sent(port: int, raw: bytes) -> Reply:
    """Send bytes and return the reply, as far as it is there once the other side falls silent."""
    with socket.create_connection(("127.0.0.1", port), 10.0) as line:
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):  # cut off before all was sent
            line.sendall(raw)
        came = b""
        try:
            while block := line.recv(65536):
                came += block
                if b" 101 " in came[:20]:
                    break
        except (TimeoutError, ConnectionResetError):
            pass
    head, _, body = came.decode("latin-1").partition("\r\n\r\n")
    return Reply(int(head.split(" ", 2)[1]) if head else 0, head.lower(), body)
