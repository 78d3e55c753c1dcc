"""Bring up loopback in a network of one's own, then become the command that follows: loopback.py COMMAND..."""

from __future__ import annotations

import fcntl
import os
import socket
import struct
import sys

SET_FLAGS, UP_AND_RUNNING = 0x8914, 0x41  # of Linux: SIOCSIFFLAGS; IFF_UP and IFF_RUNNING


def main() -> None:
    """Do it."""
    with socket.socket() as any_socket:
        fcntl.ioctl(any_socket, SET_FLAGS, struct.pack("16sh14x", b"lo", UP_AND_RUNNING))
    os.execvp(sys.argv[1], sys.argv[1:])


if __name__ == "__main__":
    main()
