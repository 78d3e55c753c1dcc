"""Peak memory of a demo year at 1-minute steps, in a process of its own."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.ratio import Ratio

CODE = """
import resource
import noonwall
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text
noonwall.simulate(from_text(demo_text(), "demo"), step_s=60)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""
GIB_OF_KIB = 1024.0**2
LIMIT_GIB = 1.5


def ratios() -> list[Ratio]:
    told = subprocess.run([sys.executable, "-c", CODE], check=True, capture_output=True, text=True)
    peak = float(told.stdout.split()[-1]) / GIB_OF_KIB
    return [Ratio("peak memory of a 1-minute year / 1.5 GiB", peak, LIMIT_GIB, "GiB", at_most=1.0)]
