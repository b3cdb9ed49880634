"""The public names of the package, and the flow they make."""

from __future__ import annotations

import ast
import doctest
import os
import shutil
import subprocess
import sys
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING

import pytest

import layout
from tests.conftest import EXAMPLES, ROOT

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built

HEAVY = ("ezdxf", "networkx", "numpy", "openpyxl", "ortools", "pydantic", "reportlab", "shapely", "wasmtime")


def test_names_are_sorted_and_real() -> None:
    """Each public name can be had, stands once, and the list is in order."""
    assert layout.__all__ == sorted(set(layout.__all__))
    assert {name: getattr(layout, name) for name in layout.__all__}.keys() == set(dir(layout))


def test_type_checkers_see_the_same_names() -> None:
    """What is imported for type checkers only comes from where it is loaded at run time."""
    tree = ast.parse((ROOT / "layout" / "__init__.py").read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = {
        alias.asname or alias.name: (node.module, alias.name)
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    loaded = {name: (home, name) for home, names in layout._HOME.items() for name in names} | layout._RENAMED
    assert seen == loaded
    assert sorted(seen) == layout.__all__


def test_unknown_name_is_an_attribute_error() -> None:
    """A name that the package has not is refused as Python does it."""
    with pytest.raises(AttributeError, match="no attribute 'plaice'"):
        _ = layout.plaice


def test_importing_stays_light() -> None:
    """Importing the package loads none of the heavy libraries."""
    code = f"import sys, layout; print([name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("name", [name for name in layout.__all__ if name[0].isupper()])
def test_values_are_frozen(name: str) -> None:
    """What a step gives on can't be changed behind the next one's back."""
    kind = getattr(layout, name)
    if is_dataclass(kind):
        assert kind.__dataclass_params__.frozen, name
        assert not any(str(one.type).startswith(("list", "dict[")) for one in fields(kind)), name


def test_the_docstring_does_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The flow in the package's docstring runs as it stands there, and writes no register."""
    shutil.copy(EXAMPLES / "workshop_wall.yaml", tmp_path)
    monkeypatch.chdir(tmp_path)
    done = doctest.testmod(layout, optionflags=doctest.ELLIPSIS)
    assert (done.failed, done.attempted > 8) == (0, True)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["out", "workshop_wall.yaml"]


def test_flow_repeats_itself(wall: Built) -> None:
    """What is judged is what placing found, and what is remembered once is remembered the second time."""
    reading = layout.read(wall.file)
    assert reading.project is not None
    register, _ = layout.load_register(wall.register)
    assert register is not None
    arrangement = register.arrangement
    assert arrangement is not None
    assert layout.judge(reading.project, arrangement) == ()
    plan = layout.plan(reading.project, arrangement, found=reading.findings)
    assert set(reading.findings) <= set(plan.findings)
    sheets = layout.draw(plan)
    assert list(sheets) == list(reading.project.panels)
    assert layout.pdf_bytes(sheets["wall"], layout.DocumentInfo(title="wall")).startswith(b"%PDF")
    assert sheets["wall"][0]._repr_svg_().startswith("<?xml")
    known = layout.remember(layout.Register(), plan)
    again = layout.plan(reading.project, arrangement, register=known)
    assert layout.remember(known, again) == known


SHADOW = "raise RuntimeError('a file of the user')\n"


@pytest.mark.parametrize("words", [("-c", "import spile; print(spile.Place())"), ("-m", "spile", "version")])
def test_a_file_called_layout_does_no_harm(words: tuple[str, ...], tmp_path: Path) -> None:
    """A ``layout.py`` where Python looks first keeps neither the API nor the command from working."""
    (tmp_path / "layout.py").write_text(SHADOW, encoding="utf-8")
    path = os.pathsep.join((str(tmp_path), str(ROOT)))
    done = subprocess.run(
        [sys.executable, *words], check=False, capture_output=True, text=True, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": path},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")


def test_spile_gives_the_same_names() -> None:
    """``spile`` has the names of the package, and the same things behind them."""
    import spile

    assert dir(spile) == dir(layout)
    assert all(getattr(spile, name) is getattr(layout, name) for name in layout.__all__)
