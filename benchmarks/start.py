"""How long help takes, against the bare interpreter."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.ratio import Ratio, best_of


def ratios() -> list[Ratio]:
    def run(code: str) -> float:
        return best_of(
            9, lambda: subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
        )

    bare = run("pass")
    help_text = run("from noonwall.cli.main import run; run(['--help'])")
    library = run("import noonwall")
    return [
        Ratio("noonwall --help / bare python", help_text, bare, "s", at_most=8.0),
        Ratio("import noonwall / bare python", library, bare, "s", at_most=3.0),
    ]
