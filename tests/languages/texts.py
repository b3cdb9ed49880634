"""The texts that people read, taken from the source: what a catalogue must hold, by the file it stands in."""

from __future__ import annotations

import ast
import re
from typing import TYPE_CHECKING

from layout.languages.speech import is_plain
from tests.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

READ_BY_PEOPLE = (
    "handover", "drawing", "wiring/checks", "wiring/laws", "wiring/protection", "wiring/routing", "wiring/schedule",
    "wiring/sizing", "network", "energy", "placing", "project/reading", "bench",
)  # fmt: skip
"""Parts whose sentences reach paper, page or terminal."""

NOT_READ = ("raise", "assert")
"""Statements whose texts speak to whoever calls a function wrongly."""

SENTENCE = re.compile(r"[A-Za-z]{2,}\W* [(\"'{]*[a-z{]")
"""Two words beside each other, or a word and a value."""


def texts(file: Path) -> Iterator[str]:
    """Yield the sentences of one module, each place for a value as ``{}``; docstrings and errors are left out."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    quiet = {id(node) for node in _quiet(tree)}
    inner = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(tree):
        if id(node) in quiet or id(node) in inner:
            continue
        said = template(node)
        if said is not None and SENTENCE.search(said) and not is_plain(said):
            yield said
        elif isinstance(node, ast.Call):
            yield from (word for word in _titles(node) if any(map(str.isalpha, word)) and not is_plain(word))


def _titles(call: ast.Call) -> Iterator[str]:
    """Yield the single words that a call puts on paper: titles, headings of columns, the text of a drawing."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    shown = [word.value for word in call.keywords if word.arg == "title"]
    if name in ("heading", "text", "Text", "led"):
        shown += call.args[:2]
    elif name == "element":
        shown += call.args[1:]
    for node in shown:
        said = template(node)
        if said is not None:
            yield said


def template(node: ast.AST) -> str | None:
    """Return a text as a template; None for what is no text."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    return None


def _quiet(tree: ast.AST) -> Iterator[ast.AST]:
    """Yield what nobody reads: docstrings, bare texts, annotations, errors for programmers."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise | ast.Assert):
            yield from ast.walk(node)
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield node.value
        elif isinstance(node, ast.AnnAssign | ast.arg) and node.annotation is not None:
            yield from ast.walk(node.annotation)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            if name in ("compile", "once", "ContextVar", "TypeVar", "cast", "Markup"):
                yield from ast.walk(node)


def all_texts() -> dict[str, str]:
    """Return every sentence of the program with the module it stands in first."""
    every: dict[str, str] = {}
    for part in READ_BY_PEOPLE:
        for file in sorted((ROOT / "layout" / part).rglob("*.py")):
            for said in texts(file):
                every.setdefault(said, str(file.relative_to(ROOT)))
    return every
