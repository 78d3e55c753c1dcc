"""Bring up loopback in a network of one's own, then become the command that follows: loopback.py COMMAND...

Loopback gets a second address there, so that what is shared in a network can be tried without one.
"""

from __future__ import annotations

import fcntl
import os
import socket
import struct
import sys

SET_FLAGS, SET_ADDRESS, SET_MASK = (
    0x8914,
    0x8916,
    0x891C,
)  # of Linux: SIOCSIFFLAGS, SIOCSIFADDR, SIOCSIFNETMASK
UP_AND_RUNNING = 0x41  # IFF_UP and IFF_RUNNING
SECOND, MASK = "10.77.0.1", "255.0.0.0"


def main() -> None:
    """Do it."""
    with socket.socket() as any_socket:
        fcntl.ioctl(any_socket, SET_FLAGS, struct.pack("16sh14x", b"lo", UP_AND_RUNNING))
        for order, address in ((SET_ADDRESS, SECOND), (SET_MASK, MASK)):
            told = struct.pack("16sH2x4s8x", b"lo:1", socket.AF_INET, socket.inet_aton(address))
            fcntl.ioctl(any_socket, order, told)
    os.execvp(sys.argv[1], sys.argv[1:])


if __name__ == "__main__":
    main()
