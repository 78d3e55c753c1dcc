"""What to do next: the lines to type after ``new`` and ``demo``, each with what it answers."""

from __future__ import annotations

import shlex

import click

FIRST = ("check", "year", "open")
QUESTIONS = (
    "sun", "cuts", "awning", "night", "comfort", "hot", "compare --remedies", "circuit", "readings add", "recap",
    "learn",
)  # fmt: skip
Told = tuple[str, str]  # what to type, what it answers


def next_steps(folder: str, title: str, before: tuple[Told, ...] = (), after: tuple[Told, ...] = ()) -> str:
    """Return the lines for a project: look it over and calculate it, then a question each.

    folder  the project's;  title  heads the first lines;  before, after  lines around the first ones
    """
    first = [*before, *(told for words in FIRST for told in _line(words, folder)), *after]
    then = [told for words in QUESTIONS for told in _line(words, folder)]
    width = max(len(line) for line, _ in (*first, *then))
    shown = [[f"  {line:<{width}}  {told}" for line, told in part] for part in (first, then)]
    return "\n".join([title, *shown[0], "", "Then, a question each", *shown[1]])


def _line(words: str, folder: str) -> list[Told]:
    """Return what to type and what it answers; nothing for a command that this version does not have."""
    from noonwall.cli.main import program

    name, *rest = words.split()
    ctx = click.Context(program)
    command = program.get_command(ctx, name)
    options = [word for word in rest if word.startswith("-")]
    for word in rest:
        if isinstance(command, click.Group) and word not in options:
            name, command = f"{name} {word}", command.get_command(ctx, word)
    if command is None:
        return []
    arguments = [p.make_metavar(ctx) for p in command.params if isinstance(p, click.Argument)]
    given = [shlex.quote(folder), *arguments[1:], *options]
    return [(f"noonwall {name} {' '.join(given)}", command.get_short_help_str(80).rstrip("."))]
