"""Ports and addresses of this machine."""

from __future__ import annotations

import contextlib
import errno
import socket

LOOPBACK, EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - only with --lan, behind the code
TRIES = 50
# Private networks; asking the system which of our addresses would speak to them sends nothing.
NEIGHBOURS = ("192.168.255.254", "10.255.255.254", "172.31.255.254", "169.254.255.254", "100.64.0.1")


def is_free(host: str, port: int) -> bool:
    """Whether a port can be listened at.

    raises  PermissionError where the system keeps the port for others
    """
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            if error.errno == errno.EACCES:
                raise PermissionError(errno.EACCES, "is kept for the system; take one above 1023") from None
            return False
    return True


def free_from(host: str, first: int) -> int | None:
    """Return the first free port from one on, None when there is none among the next few."""
    return next((port for port in range(first, min(first + TRIES, 65536)) if is_free(host, port)), None)


def own_addresses() -> tuple[str, ...]:
    """Return this machine's addresses in its networks, loopback left out."""
    found: list[str] = []
    for neighbour in NEIGHBOURS:
        with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect((neighbour, 9))
            found.append(str(probe.getsockname()[0]))
    with contextlib.suppress(OSError):
        found += socket.gethostbyname_ex(socket.gethostname())[2]
    return tuple(dict.fromkeys(a for a in found if not a.startswith(("127.", "0."))))
