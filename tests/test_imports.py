"""Imports point one way; the table below is the rule."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING

from tests.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ORDER = [
    "shipped", "frozen", "light_dataclass", "languages", "exact_solver", "quantity", "findings", "geometry",
    "standards", "project", "placing", "vocabulary", "wiring", "network", "energy", "drawing", "trace", "handover",
    "flow", "many", "bench", "cli", "__main__",
]  # fmt: skip
"""Each part imports only itself and parts that stand before it."""

JUDGE_MAY_USE = ("layout.placing.judge", "layout.placing.rule_table")
"""What the judge may take from placing: itself and the table of rules. It shares no code with what it judges."""


def modules() -> Iterator[tuple[str, Path]]:
    """Yield every module of the package with its file."""
    for file in sorted((ROOT / "layout").rglob("*.py")):
        name = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        yield name.removesuffix(".__init__"), file


def imports(file: Path) -> Iterator[str]:
    """Yield the modules of layout that one file imports, wherever in it."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module and node.module.startswith("layout"):
            if node.module == "layout":
                yield from (f"layout.{alias.name}" for alias in node.names)
            else:
                yield node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.startswith("layout."))


def part(module: str) -> str:
    """Return the part of the flow a module belongs to."""
    return module.split(".")[1]


def test_imports_point_down() -> None:
    """A part of layout imports only parts that stand before it in the order."""
    wrong = [
        (module, imported)
        for module, file in modules()
        if module != "layout"
        for imported in imports(file)
        if ORDER.index(part(module)) < ORDER.index(part(imported))
    ]
    assert wrong == []


def test_judge_shares_nothing_with_the_solver() -> None:
    """The judge imports nothing of placing but itself and the table of rules."""
    wrong = [
        (module, imported)
        for module, file in modules()
        if module.startswith("layout.placing.judge")
        for imported in imports(file)
        if imported.startswith("layout.placing") and not imported.startswith(JUDGE_MAY_USE)
    ]
    assert wrong == []


def test_modules_stay_small() -> None:
    """No module has more than 400 lines."""
    long = {module: n for module, file in modules() if (n := len(file.read_text(encoding="utf-8").splitlines())) > 400}
    assert long == {}
