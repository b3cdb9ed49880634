"""The JSON Schemas that editors use, against what the reader takes."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest

from layout.project.editing.new_project import new_text
from layout.project.reading.nodes import compose
from layout.project.reading.schema import schemas
from layout.project.reading.tree import plain_values
from layout.project.register import Register, render
from tests.conftest import EXAMPLES, ROOT
from tests.project.reading.test_read import PROJECTS

if TYPE_CHECKING:
    from pathlib import Path

BAD = ROOT / "tests" / "project" / "bad"


@cache
def validator(name: str) -> Any:
    """Return the validator of one schema as editors run it."""
    schema = json.loads(schemas()[name])
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def data(text: str) -> Any:
    """Return the plain data of a YAML text."""
    tree, findings = compose(text, "file.yaml")
    assert findings == []
    assert tree is not None
    return plain_values(tree)


def test_schemas_are_fresh() -> None:
    """The files in schemas/ are what the model gives; ``python -m layout.project.reading.schema`` writes them anew."""
    on_disk = {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "schemas").iterdir()}
    assert on_disk == schemas()


def test_a_wrong_unit_is_wrong_in_the_editor() -> None:
    """A load of ``power: 30 A`` is refused while it is typed; ``30 W`` is not."""
    part = data("circuits: {lamp: {from: a/1, to: b, purpose: horn, load: {power: 30 W}}}")
    assert validator("part.schema.json").is_valid(part)
    assert not validator("project.schema.json").is_valid(part)
    part["circuits"]["lamp"]["load"]["power"] = "30 A"
    assert not validator("part.schema.json").is_valid(part)


@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
def test_examples_pass(path: Path) -> None:
    """An editor finds nothing in the shipped projects."""
    assert list(validator("project.schema.json").iter_errors(data(path.read_text(encoding="utf-8")))) == []


def test_new_project_and_shelf_pass() -> None:
    """An editor finds nothing in a new project, in the launch's shelf, or in a register."""
    shelf = (EXAMPLES / "launch" / "shelf.yaml").read_text(encoding="utf-8")
    assert list(validator("project.schema.json").iter_errors(data(new_text()))) == []
    assert list(validator("shelf.schema.json").iter_errors(data(shelf))) == []
    assert list(validator("register.schema.json").iter_errors(data(render(Register(numbers={"a": 1}))))) == []


@pytest.mark.parametrize(
    "name",
    ["unknown-key", "unknown-word", "no-project", "list-for-table", "id-inside", "from-underscore", "yes-for-true"],
)
def test_editor_finds_what_the_reader_finds(name: str) -> None:
    """Faults of keys, kinds and words are marked while typing."""
    wrong = data((BAD / f"{name}.yaml").read_text(encoding="utf-8"))
    assert list(validator("project.schema.json").iter_errors(wrong))
