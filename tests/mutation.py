"""How many small wrong changes of the safety core its tests notice: ``python -m tests.mutation --help``.

One comparison, sum, product, ``and``/``or``, ``min``/``max`` or number is changed at a time in a copy of the checkout,
and only the tests that mirror the module are run on it. Where to change is drawn with a seed, so that a run repeats.
"""

from __future__ import annotations

import argparse
import ast
import copy
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent

TESTS = {
    "layout/standards/ampacity.py": ("tests/standards/test_ampacity.py",),
    "layout/standards/protection.py": ("tests/standards/test_protection.py", "tests/wiring/protection"),
    "layout/standards/voltage_drop.py": ("tests/standards/test_voltage_drop.py",),
    "layout/wiring/sizing/conductor_size.py": ("tests/wiring/sizing",),
    "layout/wiring/sizing/drop_budget.py": ("tests/wiring/sizing",),
    "layout/wiring/protection/protective_device.py": ("tests/wiring/protection", "tests/wiring/checks"),
    "layout/wiring/system/infeeds.py": ("tests/wiring/system",),
    "layout/wiring/system/device_faults.py": ("tests/wiring/system", "tests/wiring/laws"),
    "layout/wiring/schedule/numbering.py": ("tests/wiring/schedule/test_numbering.py",),
    "layout/placing/judge/limits.py": ("tests/placing/test_rule_table.py", "tests/placing/judge"),
    "layout/placing/judge/apart.py": ("tests/placing/judge",),
    "layout/drawing/template/tile_grid.py": ("tests/drawing/template/test_tile_grid.py",),
}
"""Modules that are changed, each with the tests that have to notice."""

OPERATORS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}
ROUNDING = 1e-5
"""A number no greater than this makes room for rounding; no test can tell it from another."""
TIME_LIMIT_S = 120
"""A changed program that has not ended by then is in a loop and counts as noticed."""


class Mutant(NamedTuple):
    """One change: the module, the line, what stood there and what stands there now, and the whole changed text."""

    module: str
    line: int
    before: str
    after: str
    text: str


def mutants(module: str) -> Iterator[Mutant]:
    """Yield every change of a module; what only makes room for rounding is left alone."""
    tree = ast.parse((ROOT / module).read_text(encoding="utf-8"))
    for index, node in enumerate(ast.walk(tree)):
        if _changed(copy.deepcopy(node)) is None:
            continue
        other = copy.deepcopy(tree)
        twin = next(one for place, one in enumerate(ast.walk(other)) if place == index)
        before = ast.unparse(node)
        _changed(twin)
        line = getattr(node, "lineno", 0)
        yield Mutant(module, line, before, ast.unparse(twin), ast.unparse(other))


def _changed(node: ast.AST) -> ast.AST | None:
    """Change a node in place and return it; None where there is nothing to change."""
    if isinstance(node, ast.Compare) and type(node.ops[0]) in OPERATORS:
        node.ops[0] = OPERATORS[type(node.ops[0])]()  # type: ignore[call-overload]
    elif isinstance(node, (ast.BoolOp, ast.BinOp)) and type(node.op) in OPERATORS and not _of_rounding(node):
        node.op = OPERATORS[type(node.op)]()  # type: ignore[assignment]
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in NAMES:
        node.func.id = NAMES[node.func.id]
    elif isinstance(node, ast.Constant) and type(node.value) is bool:
        node.value = not node.value
    elif isinstance(node, ast.Constant) and type(node.value) is float and abs(node.value) > ROUNDING:
        node.value = node.value * 1.2
    else:
        return None
    return node


def _of_rounding(node: ast.AST) -> bool:
    """Tell whether a sum only makes room for rounding."""
    right = getattr(node, "right", None)
    return isinstance(right, ast.Constant) and isinstance(right.value, float) and abs(right.value) <= ROUNDING


def noticed(mutant: Mutant, copied: Path) -> bool:
    """Tell whether the module's tests fail on a change; the copy is as before afterwards."""
    file = copied / mutant.module
    kept = file.read_text(encoding="utf-8")
    file.write_text(mutant.text, encoding="utf-8")
    try:
        return _fails(copied, TESTS[mutant.module])
    finally:
        file.write_text(kept, encoding="utf-8")


def _fails(copied: Path, tests: tuple[str, ...]) -> bool:
    command = [sys.executable, "-B", "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
    try:
        done = subprocess.run(command, cwd=copied, capture_output=True, timeout=TIME_LIMIT_S, check=False)
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def main() -> int:
    """Run a sample and print what was not noticed; 1 where less than the asked share was."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--sample", type=int, default=0, help="how many changes; all if left out")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--only", default="", help="part of a module's path")
    ask.add_argument("--least", type=float, default=0.0, help="share that must be noticed, 0 to 1")
    given = ask.parse_args()
    modules = [module for module in TESTS if given.only in module]
    every = [mutant for module in modules for mutant in mutants(module)]
    drawn = every
    if given.sample:
        drawn = random.Random(given.seed).sample(every, min(given.sample, len(every)))
    with tempfile.TemporaryDirectory() as folder:
        copied = Path(folder) / "checkout"
        shutil.copytree(ROOT, copied, ignore=shutil.ignore_patterns(".git", ".venv", "*cache*", "build", "dist"))
        sound = sorted({test for mutant in drawn for test in TESTS[mutant.module]})
        if _fails(copied, tuple(sound)):
            print("the tests fail without any change", file=sys.stderr)
            return 2
        killed = 0
        for done, mutant in enumerate(drawn, 1):
            if noticed(mutant, copied):
                killed += 1
                continue
            where = f"{mutant.module}:{mutant.line}"
            print(f"{done}: not noticed: {where}: {mutant.before}  ->  {mutant.after}", flush=True)
    print(f"{killed} of {len(drawn)} changes noticed ({len(every)} there are)")
    return int(killed < given.least * len(drawn))


if __name__ == "__main__":
    raise SystemExit(main())
