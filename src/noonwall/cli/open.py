"""``noonwall open``: the workbench in the browser, on this machine alone unless it is shared."""

from __future__ import annotations

import os
import socket
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from noonwall.cli.options import units_by_variable

if TYPE_CHECKING:
    from noonwall.units import System
    from noonwall.web.app import Shared
    from noonwall.web.bench import Bench
    from noonwall.web.codes import Codes
    from noonwall.web.worker import Worker

DEFAULT_PORT = 8719
DEMO = "noonwall-demo"
PATIENCE_S = 60.0
OPEN_WAY = (
    "Every device in this network that gives the code can change the project. What goes between is not\n"
    "encrypted: do this in a network of your own only."
)


@click.command("open", short_help="The workbench in your browser.")
@click.argument("project", metavar="[PROJECT]", required=False, type=click.Path())
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help=f"Port to serve at; otherwise {DEFAULT_PORT} or the next free one.",
)
@click.option("--no-browser", is_flag=True, help="Only serve; open no browser.")
@click.option(
    "--lan",
    is_flag=True,
    help="Share it in the shop's network: a code and its QR picture admit a device each.",
)
def command(project: str | None, port: int | None, no_browser: bool, lan: bool) -> None:
    """Open PROJECT in the browser: describe, calculate, compare, read in, look back.

    Without PROJECT a copy of the invented demo, one year on, is opened to play with: the folder noonwall-demo here,
    made if it is not there. Nothing leaves this machine; with --lan it does, to devices that were given a code.
    A project that names no units is shown in those of NOONWALL_UNITS, else in metric ones; the button at the top
    writes the other ones into the project file. Ctrl-C ends it; everything shown as saved is on the disk by then.
    """
    from noonwall.cli.progress import is_prepared
    from noonwall.web.worker import Worker

    units = units_by_variable() or "metric"
    calculator, bench = Worker(), None
    try:
        number = chosen_port(port, lan=lan)
        calculator.start()  # it loads its libraries while this process loads its own
        bench = _bench(project, calculator, units)
        bench.preparing = not is_prepared()
        shared = sharing(number) if lan else None
        serve(bench, number, shared, browser=not no_browser)
    except KeyboardInterrupt:
        click.echo("closed; everything shown as saved is on the disk", err=True)
    finally:
        calculator.close()
        if bench is not None:
            bench.close()


def _bench(project: str | None, calculator: Worker, units: System) -> Bench:
    """Return the workbench over a project, its year being calculated already."""
    from noonwall.web.bench import Bench
    from noonwall.web.desk import Desk

    bench = Bench(Desk(project if project is not None else demo_folder()), units)
    bench.quick = calculator
    calculator.ahead(bench.result("year").order)
    return bench


def demo_folder(where: Path | None = None) -> Path:
    """Return the folder of the demo to play with, made with its invented year when it is not there.

    raises  OutputError when it cannot be written
    """
    from noonwall.cli.progress import told
    from noonwall.errors import OutputError
    from noonwall.logs.furnish import furnish
    from noonwall.model.disk import PROJECT_FILE
    from noonwall.model.templates import create

    folder = (where or Path()) / DEMO
    if (folder / PROJECT_FILE).exists():
        click.echo(f"INVENTED: the demo in {folder}, as you left it; no such shed stands anywhere", err=True)
        return folder
    try:
        with (
            tempfile.TemporaryDirectory(prefix=f".{DEMO}-", dir=where or ".") as beside,
            told("making the demo"),
        ):
            made = create(Path(beside) / DEMO, demo=True)
            furnish(made)
            made.parent.rename(folder)
    except OSError as error:
        reason = (error.strerror or "the system refused").lower()
        raise OutputError(
            f"{folder}: cannot be made: {reason}; name a project, or go to a folder of yours"
        ) from error
    click.echo(f"INVENTED: a demo to play with, in {folder}; no such shed stands anywhere", err=True)
    if Path(PROJECT_FILE).exists():
        click.echo("To open the project of this folder instead:  noonwall open .", err=True)
    return folder


def chosen_port(wanted: int | None, *, lan: bool) -> int:
    """Return the port to serve at.

    raises  UsageError when the one that was asked for is taken, or none is free
    """
    from noonwall.web.network import EVERYWHERE, LOOPBACK, free_from, is_free

    host = EVERYWHERE if lan else LOOPBACK
    if wanted is None:
        found = free_from(host, DEFAULT_PORT)
        if found is None:
            raise click.UsageError(f"no free port from {DEFAULT_PORT} on; name one with --port")
        return found
    try:
        free = is_free(host, wanted)
    except PermissionError as error:
        raise click.UsageError(f"port {wanted} {error.strerror}") from None
    if not free:
        raise click.UsageError(
            f"port {wanted} is taken by another program; name another, or leave --port out"
        )
    return wanted


def tell_preparing(bench: Bench) -> None:
    """Tell that the calculator is being compiled where that was never done; return when it is."""
    from noonwall.cli.progress import PREPARING, note_prepared

    click.echo(f"{PREPARING}; the pages are open meanwhile", err=True)
    first = bench.result("year")
    while first.answer is None:
        if first.refused is not None or first.stopped:
            bench.preparing = False  # pages wait for it; they compile what they need themselves
            return
        time.sleep(0.2)
    bench.preparing = False
    note_prepared()
    click.echo("the calculator is prepared", err=True)


def serve(bench: Bench, port: int, shared: Shared | None, *, browser: bool) -> None:
    """Serve until stopped; tell the address once it answers, and open the browser there."""
    from noonwall.web.app import run

    start = f"http://127.0.0.1:{port}/"
    opened = f"{start}enter#{shared.codes.issue()}" if shared and browser else start

    def tell() -> None:
        if not _listens(port):
            return
        click.echo(f"The workbench of {bench.desk.folder} is open at  {start}   (Ctrl-C ends it)")
        if shared:
            tell_code(shared.codes, shared.addresses, port)
        sys.stdout.flush()
        if browser and not open_browser(opened):
            click.echo("No browser could be opened from here; open the address in one.", err=True)
        if bench.preparing:
            tell_preparing(bench)

    run(bench, port, shared=shared, ready=threading.Thread(target=tell, daemon=True).start)


def sharing(port: int) -> Shared:
    """Return how the workbench is shared.

    raises  UsageError when this machine is in no network
    """
    from noonwall.web.app import Shared
    from noonwall.web.codes import Codes
    from noonwall.web.network import own_addresses

    addresses, codes = own_addresses(), Codes()
    if not addresses:
        raise click.UsageError("this machine is in no network to share in; leave --lan out")

    def admitted(address: str) -> None:
        click.echo(f"\n{address} was admitted. The code for the next device:")
        tell_code(codes, addresses, port)
        sys.stdout.flush()

    return Shared(codes, addresses, admitted)


def tell_code(codes: Codes, addresses: tuple[str, ...], port: int) -> None:
    """Print a fresh code, and the QR picture of the address that fills it in."""
    import segno

    from noonwall.web.codes import shown

    code = codes.issue()
    click.echo(f"\nCode for one device:  {shown(code)}")
    for address in addresses:
        click.echo(f"  at  http://{address}:{port}/")
    click.echo()
    picture = segno.make(f"http://{addresses[0]}:{port}/enter#{code}", error="m", micro=False)
    picture.terminal(sys.stdout, border=2, compact=True)
    click.echo(f"\n{OPEN_WAY}")


def open_browser(address: str) -> bool:
    """Open the builder's browser; where there is no screen, do nothing and return False."""
    import webbrowser

    screen = (
        sys.platform in {"darwin", "win32"} or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    )
    if not screen:
        return False
    try:
        return webbrowser.open(address)
    except (webbrowser.Error, OSError):
        return False


def _listens(port: int) -> bool:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        try:
            with socket.create_connection(("127.0.0.1", port), 1.0):
                return True
        except OSError:
            time.sleep(0.05)
    return False
