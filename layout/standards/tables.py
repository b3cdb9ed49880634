"""The one way to the tables: read once, never changed, each with its source and how far it was seen."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping


class Basis(StrEnum):
    """How far a published figure was seen."""

    READ = "read"
    MEMORY = "memory"
    DERIVED = "derived"


class Practice(StrEnum):
    """Body of rules that sizes the wiring, chosen per project."""

    ISO = "iso"
    ABYC = "abyc"


@cache
def all_tables(file: str) -> Mapping[str, Any]:
    """Return all tables of ``data/<file>.yaml``.

    Raises
    ------
    FileNotFoundError
        If there is no such file.
    """
    from layout.shipped import shipped_yaml

    text = resources.files("layout.standards").joinpath("data", f"{file}.yaml").read_text(encoding="utf-8")
    loaded: dict[str, Any] = shipped_yaml(text)
    return loaded


@cache
def rows(file: str, table: str) -> tuple[Mapping[str, Any], ...]:
    """Return a table that has ``columns`` and ``rows`` as one mapping a row, in the order of the file.

    Raises
    ------
    KeyError
        If the file has no such table.
    """
    found = all_tables(file)[table]
    return tuple(dict(zip(found["columns"], row, strict=True)) for row in found["rows"])


def source(file: str, table: str) -> str:
    """Return where a table comes from, with a mark where it is from memory only."""
    found = all_tables(file)[table]
    mark = " (from memory)" if found.get("basis") == Basis.MEMORY else ""
    return f"{found['source']}{mark}"
