"""One name, one thing: no public name and no file stem means two, but for those that are listed with their reason."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from tests.running import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator

LISTED = yaml.safe_load(Path(__file__).with_name("double_names.yaml").read_text(encoding="utf-8"))


def public_names(module: Path) -> Iterator[str]:
    """Yield the names that a module defines for others: classes, functions and values without a leading underscore."""
    for node in ast.parse(module.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
                yield from (part.id for part in ast.walk(target) if isinstance(part, ast.Name))


def in_two_places(places: dict[str, set[str]]) -> dict[str, list[str]]:
    """Return what stands in more than one place, with the places."""
    return {name: sorted(where) for name, where in sorted(places.items()) if len(where) > 1}


def test_a_public_name_means_one_thing() -> None:
    """A name that two modules define is on the list, with what it means in each; the list holds no other."""
    places = defaultdict(set)
    for module in (ROOT / "layout").rglob("*.py"):
        for name in public_names(module):
            if not name.startswith("_"):
                places[name].add(str(module.relative_to(ROOT / "layout")))
    assert in_two_places(places) == {name: sorted(entry["in"]) for name, entry in LISTED["names"].items()}


def test_a_file_stem_means_one_thing() -> None:
    """So is a file's name without its ending."""
    places = defaultdict(set)
    for module in (ROOT / "layout").rglob("*.py"):
        if not module.name.startswith("__"):
            places[module.stem].add(str(module.parent.relative_to(ROOT / "layout")))
    assert in_two_places(places) == {name: sorted(entry["in"]) for name, entry in LISTED["stems"].items()}


def test_each_has_its_reason() -> None:
    """A listed name says why it may stand twice."""
    entries = [*LISTED["names"].values(), *LISTED["stems"].values()]
    assert all(len(entry["why"]) > 20 for entry in entries)
