"""Help: quick, complete, and with an example of every command."""

from __future__ import annotations

import inspect

import pytest

from layout.cli.main import app
from layout.cli.options import EffortWord
from layout.placing.by_components import Effort
from tests.running import ROOT, python, spile

COMMANDS = {(command.name or command.callback.__name__): command.callback for command in app.registered_commands}
HEAVY = (
    "cv2", "ezdxf", "fontTools", "networkx", "numpy", "openpyxl", "ortools", "pydantic", "reportlab", "rich", "scipy",
    "shapely", "svgwrite", "wasmtime", "yaml",
)  # fmt: skip
WITHOUT_PROJECT = ("new", "printcheck", "trace", "version", "words")


def test_help_lists_every_command_whole() -> None:
    """The start page names each command with a sentence that is not cut off, and the cautions."""
    ran = spile("--help")
    assert ran.code == 0
    for name, command in COMMANDS.items():
        first = inspect.getdoc(command).splitlines()[0]
        assert f"  {name.ljust(10)}  {first}\n" in ran.out
    assert "Isolate supplies first" in ran.out


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_has_help_with_an_example(name: str) -> None:
    """A command's help says what to type, and offers JSON."""
    ran = spile(name, "--help")
    assert ran.code == 0
    assert f"Example: spile {name}" in " ".join(ran.out.split())
    assert "--json" in ran.out
    assert ("--quiet" in ran.out) == (name != "version")


@pytest.mark.parametrize("name", sorted(set(COMMANDS) - set(WITHOUT_PROJECT)))
def test_every_other_command_takes_a_project(name: str) -> None:
    """A command that works on a project takes its file first."""
    assert next(iter(inspect.signature(COMMANDS[name]).parameters)) == "file"


def test_help_loads_nothing_heavy() -> None:
    """Start-up imports none of the libraries that take long to load."""
    code = (
        "import sys\nfrom layout.cli.main import app\n"
        "try:\n    app(['--help'])\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    ran = python("-c", code)
    assert ran.code == 0, ran.err
    assert ran.out.splitlines()[-1] == "[]"


def test_words_for_effort_are_those_of_the_search() -> None:
    """The words that help offers are the ones the search knows."""
    assert [word.value for word in EffortWord] == [work.value for work in Effort]


def test_version_is_that_of_the_package() -> None:
    """Both faces of the version agree with pyproject.toml."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    said = spile("version").out.strip()
    assert f'version = "{said}"' in text
    assert spile("version", "--json").data == {"exit": 0, "findings": [], "version": said}


def test_module_is_the_command() -> None:
    """``python -m layout`` is the same program."""
    ran = python("-m", "layout", "version")
    assert (ran.code, ran.out) == (0, spile("version").out)
