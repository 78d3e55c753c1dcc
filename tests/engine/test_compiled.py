"""The compiled stepper is the plain text it was made from, and never that of yesterday."""

from __future__ import annotations

import ast
import json
import os
import pickle
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from pytest import approx

import noonwall
from engine.cases import case_of, switched_at, varied
from fakes.projects import plain as bare
from noonwall import compiled, kernelcache
from noonwall.engine import numbers as n
from noonwall.engine.simulate import begin, run
from noonwall.model.openings import Flap

if TYPE_CHECKING:
    from noonwall.engine.simulate import Case
    from noonwall.model.project import Project

PACKAGE = Path(noonwall.__file__).parent

PROBE = '''
"""A small kernel over one formula of the package."""
import json, sys
import numpy as np
from noonwall import compiled
from noonwall.physics.convection import wind_film_w_m2k


@compiled.kernel
def films(speeds):
    out = np.empty(len(speeds))
    for i in range(len(speeds)):
        out[i] = wind_film_w_m2k(speeds[i])
    return out


answer = films(np.array([3.0]))[0]
hits = sum(films.stats.cache_hits.values())
print(json.dumps({"answer": answer, "hits": hits, "file": compiled.__file__, "folder": str(compiled.CACHE)}))
'''


def told(script: Path, *paths: Path, **environment: str) -> dict[str, Any]:
    """Run a script with other packages in front of the path; return the JSON it prints."""
    there = os.environ | {"PYTHONPATH": os.pathsep.join(str(path) for path in paths)} | environment
    ran = subprocess.run(
        [sys.executable, str(script)], capture_output=True, text=True, env=there, timeout=300, check=False
    )
    assert ran.returncode == 0, ran.stderr
    answer: dict[str, Any] = json.loads(ran.stdout)
    return answer


@pytest.mark.skipif(not compiled.JIT, reason="plain run: nothing is compiled")
def test_an_edited_formula_never_meets_its_old_kernel(tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(PACKAGE, copy / "noonwall", ignore=shutil.ignore_patterns("__pycache__"))
    probe = tmp_path / "probe.py"
    probe.write_text(PROBE)
    cache = {"NOONWALL_CACHE": str(tmp_path / "cache")}

    first = told(probe, copy, **cache)
    assert first["file"].startswith(str(copy))
    assert (first["answer"], first["hits"]) == (approx(11.8), 0)
    again = told(probe, copy, **cache)
    assert (again["answer"], again["hits"]) == (
        approx(11.8),
        1,
    )  # an unchanged package finds its kernel ready
    assert again["folder"] == first["folder"]

    formula = copy / "noonwall" / "physics" / "convection.py"
    text = formula.read_text()
    assert text.count("return 2.8 + 3.0 * wind_m_s") == 1
    formula.write_text(text.replace("return 2.8 + 3.0 * wind_m_s", "return 3.8 + 3.0 * wind_m_s"))
    edited = told(probe, copy, **cache)
    assert (edited["answer"], edited["hits"]) == (approx(12.8), 0)
    assert edited["folder"] != first["folder"]


def rooms_named(file: Path) -> tuple[bool, set[str]]:
    """Return whether a module marks anything for the compiler, and the rooms whose names it can use when it runs."""
    rooms = set()
    for node in ast.parse(file.read_text()).body:
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("noonwall."):
            rooms.add(node.module.split(".")[1])
    return "compiled" in rooms, rooms - {"compiled"}


def test_the_cache_is_named_after_all_that_ends_up_in_a_kernel() -> None:
    # A kernel elsewhere may use its own file, which the compiler watches itself, and the hashed rooms; nothing else.
    watched = set(kernelcache.COMPILED_ROOMS)
    for file in PACKAGE.rglob("*.py"):
        marks, rooms = rooms_named(file)
        if marks and file.relative_to(PACKAGE).parts[0] not in watched:
            assert rooms <= watched, file.name


RUN = """
import json, pickle, sys
from pathlib import Path
from noonwall import compiled
from noonwall.engine.simulate import run

case, state = pickle.loads(Path(sys.argv[0]).with_suffix(".pickle").read_bytes())
ran = run(case, state, 0, len(case.drive.out_c))
told = {name: getattr(ran, name).tolist() for name in ("out", "ledger", "effort")}
print(json.dumps(told | {"jit": compiled.JIT}))
"""


@pytest.mark.skipif(not compiled.JIT, reason="plain run: there is no compiled twin")
def test_plain_stepper_answers_as_the_compiled_one(tmp_path: Path) -> None:
    # A day at quarter-hour steps with the wall's every part at work: mesh, flap, leak, fans that cycle, a limit.
    case = day_of(case_of(every_part(), step_s=900), 67)
    state = begin(case)
    script = tmp_path / "run.py"
    script.write_text(RUN)
    script.with_suffix(".pickle").write_bytes(pickle.dumps((case, state)))
    plain = told(script, PACKAGE.parent, NOONWALL_JIT="0")
    quick = run(case, state, 0, 96)
    assert plain["jit"] is False
    assert quick.out[:, n.FAN_STARTS].sum() >= 2.0
    assert quick.effort.tolist() == plain["effort"]
    assert quick.out == approx(np.array(plain["out"]), rel=1e-9, abs=1e-9)
    assert quick.ledger == approx(np.array(plain["ledger"]), rel=1e-9, abs=1e-3)


def every_part() -> Project:
    """Return the demo with a mesh, a flap and a switch that lets the fans cycle."""
    absorber = bare().wall.absorber.model_copy(update={"arrangement": "mesh"})
    return varied({"absorber": absorber, "flap": Flap()}, switches=switched_at(30.0, 26.0))


def day_of(case: Case, day: int) -> Case:
    """Return the case with one day's drive only."""
    steps = len(case.drive.out_c)
    span = slice(day * 96, day * 96 + 96)
    cut = {
        name: np.ascontiguousarray(array[..., span]) if array.shape[-1] == steps else array
        for name, array in case.drive._asdict().items()
        if isinstance(array, np.ndarray)
    }
    for name in ("beam_share", "ground_share"):
        if len(cut[name]) == steps:
            cut[name] = np.ascontiguousarray(cut[name][span])
    return case._replace(drive=case.drive._replace(**cut))
