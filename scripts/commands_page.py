"""Write docs/commands.md from the commands themselves, so that the page cannot tell anything else."""

from __future__ import annotations

import inspect
from pathlib import Path

import click

from noonwall.cli.main import COMMANDS, program

PAGE = Path(__file__).parents[1] / "docs" / "commands.md"
HEAD = """# Commands

This page is written by `./scripts/docs` from the commands themselves.

Each command prints a table for people on standard output; with `--json`, where it has it, one JSON document.
Progress and complaints go to standard error. Exit codes: 0 done, 1 a check that may fail on purpose failed,
2 the input was wrong (one line says what would be right), 3 a fault of noonwall itself.
"""


def page() -> str:
    """Return the page's text."""
    found = [(name, program.get_command(click.Context(program), name)) for name in COMMANDS]
    return "\n".join(
        [HEAD, *(text for name, command in found if command for text in _sections(name, command))]
    )


def _sections(name: str, command: click.Command) -> list[str]:
    parts = command.commands if isinstance(command, click.Group) else {}
    below = [text for word, part in parts.items() for text in _sections(f"{name} {word}", part)]
    return [_section(name, command), *below]


def _section(name: str, command: click.Command) -> str:
    arguments = [p.metavar or p.human_readable_name for p in command.params if isinstance(p, click.Argument)]
    options = [p for p in command.params if isinstance(p, click.Option)]
    usage = " ".join(["noonwall", name, *arguments, *(["[options]"] if options else [])])
    rows = ["| option | |", "| --- | --- |", *(_row(option) for option in options)]
    told = inspect.cleandoc(command.help or "")
    return "\n".join([f"## {name}", "", f"    {usage}", "", told, "", *(rows if options else []), ""])


def _row(option: click.Option) -> str:
    takes = ""
    if not option.is_flag:
        choices = getattr(option.type, "choices", None)
        takes = " " + ("|".join(choices) if choices else option.metavar or option.type.name.upper())
        takes = takes.replace("|", "\\|")
    default = option.default if isinstance(option.default, str) else None
    return f"| `{option.opts[0]}{takes}` | {option.help}{f' Otherwise {default}.' if default else ''} |"


if __name__ == "__main__":
    PAGE.write_text(page())
