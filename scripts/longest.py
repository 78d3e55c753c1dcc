"""Print the ten longest functions and files of the package: the tail that makes code unloved."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

ALARM_LINES = 75


def functions(path: Path) -> list[tuple[int, str]]:
    """Return (length without docstring, place) of every function in a file."""
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef):
            first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
            found.append(((node.end_lineno or 0) - first.lineno + 1, f"{path}:{node.lineno} {node.name}"))
    return found


def main() -> None:
    """Print both lists, longest first."""
    files = sorted(Path("src").rglob("*.py"))
    lengths = sorted((entry for file in files for entry in functions(file)), reverse=True)[:10]
    sizes = sorted(((len(file.read_text().splitlines()), str(file)) for file in files), reverse=True)[:5]
    for length, place in [*lengths, *sizes]:
        mark = "  long" if length > ALARM_LINES and " " in place else ""
        sys.stderr.write(f"{length:5d}  {place}{mark}\n")


if __name__ == "__main__":
    main()
