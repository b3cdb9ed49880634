"""The published values, as files of their own beside the tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

FOLDER = Path(__file__).parent.parent / "reference"


@cache
def load(name: str) -> Any:
    """Return the tables of one file."""
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


@pytest.fixture
def reference():
    """Return a function from a file's name to its tables."""
    return load
