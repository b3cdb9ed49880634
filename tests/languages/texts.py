"""The texts that people read, taken from the source: what a catalogue must hold, by the file it stands in."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from layout import flow
from layout.findings import as_json
from layout.languages import heard, spoken
from layout.languages.catalogue import texts_of
from layout.languages.speech import is_plain
from layout.project.reading.read import read
from layout.project.register import Register, load, register_path
from tests.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

READ_BY_PEOPLE = (
    "handover", "drawing", "wiring/checks", "wiring/laws", "wiring/protection", "wiring/routing", "wiring/schedule",
    "wiring/sizing", "network", "energy", "placing", "project/reading", "bench",
)  # fmt: skip
"""Parts whose sentences reach paper, page or terminal."""

LEFT_OUT = {
    "made_from.py": "what a digest is made of",
    "workbook_theme.py": "XML of a spreadsheet",
    "compile_kernel.py": "speaks to who works on the program",
    "bus_planner_model.py": "names in the solver's model",
    "syntax.py": "half of them are the YAML reader's own words, which are looked for",
    "translate.py": "names of cuts in the solver's model",
    "schema.py": "titles of schemas for editors, which stay English as the keys do",
}
"""Files whose texts no reader of a project sees, and why."""

NO_TEXT = re.compile(
    r"<.*|\s*<\?xml.*|(matrix|rotate)\(.*|default-src .*|paper (panel|sheet).*|scroll wide|light dark|width=device.*"
    r"|Mapping\[.*|data: .*|(stop|watch) (\{\}|high|low)|(drop|cfr|bundle) \w+( iso)?|(book|lists of|files of) \{\}"
    r"|networks\.\{\}:.*|spile bench",
    re.DOTALL,
)
"""Markup, types, names of classes and keys of tables: not read by people."""

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
        if said is not None and SENTENCE.search(said) and not is_plain(said) and not NO_TEXT.fullmatch(said):
            yield said.replace("{t:g}", "{}")
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
            if file.name in LEFT_OUT:
                continue
            for said in texts(file):
                every.setdefault(said, str(file.relative_to(ROOT)))
    return every


def untranslated(code: str) -> dict[str, str]:
    """Return the sentences that a language lacks, with the module each stands in."""
    known = {english.strip() for english in texts_of(code)}
    return {said: file for said, file in all_texts().items() if said.strip() not in known}


def unspoken(file: Path, code: str, out: Path) -> dict[str, str]:
    """Build a project in a language and return what it was asked for and has not, by the text it stands in."""
    reading = read(file)
    assert reading.project is not None
    project = replace(reading.project, project=replace(reading.project.project, language=code))
    register = load(register_path(file))[0] or Register()
    if register.arrangement is None:
        register = flow.arrange(project, register, seed=1).register
    plan = flow.plan(project, register.arrangement, register=register, found=reading.findings)
    with heard() as told:
        flow.hand_over(plan, out, fresh=True)
        flow.report(plan, out)
        with spoken(plan.language):
            as_json(plan.findings)
    own = set(re.findall(r"[^\W\d_]{2,}", " ".join(texts_of(code).values())))  # what was said and comes back cut
    own |= set(re.findall(r"[^\W\d_]{2,}", " ".join(plan.language.names) + " " + " ".join(project.positions)))
    return {part: text for part, text in told.missing.items() if not own.issuperset(re.findall(r"[^\W\d_]{2,}", part))}
