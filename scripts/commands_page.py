"""Write docs/commands.md from the commands' own help, so that the page cannot tell anything else."""

from __future__ import annotations

from pathlib import Path

import click
from noonwall.cli.main import COMMANDS, program

PAGE = Path(__file__).parents[1] / "docs" / "commands.md"
HEAD = """# Commands

This page is written by `./scripts/docs` from the commands' own help.

Each command prints a table for people on standard output; with `--json`, where it has it, one JSON document.
Progress and complaints go to standard error. Exit codes: 0 done, 1 a check that may fail on purpose failed, 2 the
input was wrong (one line says what would be right), 3 a fault of noonwall itself.
"""


def page() -> str:
    """Return the page's text."""
    top = click.Context(program, info_name="noonwall", terminal_width=100, max_content_width=100)
    blocks = [HEAD, _block("noonwall", program.get_help(top))]
    for name in COMMANDS:
        command = program.get_command(top, name)
        if command is None:
            raise LookupError(name)
        inner = click.Context(command, info_name=name, parent=top, terminal_width=100, max_content_width=100)
        blocks.append(_block(f"noonwall {name}", command.get_help(inner)))
    return "\n".join(blocks)


def _block(title: str, text: str) -> str:
    return f"## {title}\n\n```text\n{text.rstrip()}\n```\n"


if __name__ == "__main__":
    PAGE.write_text(page())
