"""The command ``noonwall``: finds the subcommand, and turns every failure into one plain line.

Exit codes: 0 done, 1 a check that may fail did, 2 the input was wrong, 3 a fault of noonwall itself,
130 stopped by Ctrl-C.
"""

from __future__ import annotations

import difflib
import io
import os
import sys
import traceback
import warnings
from importlib import import_module
from typing import TYPE_CHECKING

import click

from noonwall.errors import NoonwallError

if TYPE_CHECKING:
    from collections.abc import Sequence

COMMANDS = (
    "demo",
    "open",
    "new",
    "check",
    "climate",
    "year",
    "sun",
    "cuts",
    "awning",
    "night",
    "comfort",
    "hot",
    "compare",
    "circuit",
    "readings",
    "recap",
    "learn",
)

DONE, NOT_FIT, WRONG_INPUT, OWN_FAULT, PIPE_CLOSED, STOPPED = 0, 1, 2, 3, 141, 130

HELP = """What a sun-heated workshop wall does, before and after it is built.

A project is a folder with a noonwall.toml in it: the shop, the glazed wall, the site. `noonwall new my-shop`
writes one to fill in, `noonwall year my-shop` answers what the wall does, month by month. Start with
`noonwall demo`.

Figures are a model's estimates. Electrical work, fire separation and roof loads are for the local code and
for licensed trades.
"""


class Commands(click.Group):
    """A group that imports a command's file only when that command is asked for (or listed)."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - the signature is click's
        """Return the commands in the order a builder meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return one command, or None if there is no such word."""
        if cmd_name not in COMMANDS:
            near = difflib.get_close_matches(cmd_name.lower(), COMMANDS, 1, 0.6)
            if near and not ctx.resilient_parsing:
                raise click.UsageError(f"no such command {cmd_name!r}, did you mean {near[0]!r}?", ctx)
            return None
        found: click.Command = import_module(f"noonwall.cli.{cmd_name}").command
        return found


def show_version(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
    """Print the version and leave."""
    if wanted and not ctx.resilient_parsing:
        from noonwall import __version__

        click.echo(f"noonwall {__version__}")
        ctx.exit()


@click.group(
    cls=Commands,
    help=HELP,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=show_version,
    help="Show the version.",
)
@click.pass_context
def program(ctx: click.Context) -> None:
    """Show the help when no command was given."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def main() -> None:
    """Run the command line and leave the process with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without a degree sign is no reason to fail
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run the command line and return the exit code; every failure becomes one line on stderr."""
    if not debugging() and not sys.warnoptions:
        warnings.simplefilter("ignore")
    try:
        with program.make_context("noonwall", list(arguments)) as ctx:
            program.invoke(ctx)
        sys.stdout.flush()
    except click.exceptions.Exit as end:
        return end.exit_code
    except BrokenPipeError:
        quieten_stdout()
        return PIPE_CLOSED
    except (KeyboardInterrupt, click.Abort):
        return complain("stopped before it was done; nothing half-written was left behind", STOPPED)
    except NoonwallError as error:
        return complain(str(error), WRONG_INPUT)
    except click.ClickException as error:
        return complain(usage_line(error), WRONG_INPUT)
    except OSError as error:
        return complain(system_line(error), WRONG_INPUT)
    except Exception as error:  # the last door: a fault of our own, and told so
        return complain(own_fault_line(error), OWN_FAULT)
    return DONE


def debugging() -> bool:
    """Return whether the builder asked for tracebacks."""
    return os.environ.get("NOONWALL_DEBUG", "") not in {"", "0"}


def complain(line: str, code: int) -> int:
    """Print one line on stderr (after the traceback when debugging) and hand the exit code on."""
    if debugging():
        traceback.print_exc()
    click.echo(f"noonwall: {' '.join(line.split())}", err=True)
    return code


def usage_line(error: click.ClickException) -> str:
    """Return click's complaint as one line that ends with where the help is."""
    text = error.format_message().rstrip(".?")
    ctx = getattr(error, "ctx", None)
    command = ctx.command_path if isinstance(ctx, click.Context) else "noonwall"
    return f"{text[:1].lower()}{text[1:]}; `{command} --help` shows what it takes"


def system_line(error: OSError) -> str:
    """Return the operating system's complaint with the file it is about."""
    reason = error.strerror or str(error) or type(error).__name__
    return (
        f"{error.filename}: {reason.lower()}" if error.filename else f"the system refused: {reason.lower()}"
    )


def own_fault_line(error: Exception) -> str:
    """Return the line for an error that no builder can have caused."""
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    return f"this is a fault of noonwall itself: {what[:300]}" + (
        "" if debugging() else "; NOONWALL_DEBUG=1 shows where, for a report"
    )


def quieten_stdout() -> None:
    """Point stdout at nothing, so that Python's own flush at exit does not complain about a closed pipe."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
