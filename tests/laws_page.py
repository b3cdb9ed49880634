"""The page on the laws of the electrical system: ``python -m tests.laws_page`` writes ``docs/laws.md`` anew.

All of it is read from the program and its tests: what a law asks from its docstring, codes from its text, sources from
the table of rules, tests by what they import, cases from the tables of wrong boats.
"""

from __future__ import annotations

import inspect
import re
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from layout.findings import code_order, rules
from tests.conftest import ROOT
from tests.wiring.laws import test_boats, test_currents, test_overload, test_topology

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import ModuleType

PAGE = ROOT / "docs" / "laws.md"
CODE = re.compile(r'"((?:wire|fuse) \d+)"')
NO_LAWS = ("__init__", "all_laws", "breach")
"""What else stands in the folder of the laws."""
HEAD = """# The laws of the electrical system

The whole electrical system is built once as one graph (`layout/wiring/system`): terminals, conductors, protective \
devices, switch contacts by state, sources, loads. Each law (`layout/wiring/laws`) asks it one question, whatever a \
thing is called in the file. `python -m tests.laws_page` writes this page from the program and its tests.

| law | what it asks | findings | sources | tests |
|---|---|---|---|---|
"""
CASES_HEAD = """
## Wrong boats, and what is said of them

Each case changes one thing on a boat that keeps every law; beside it stand just-legal boats of which nothing is said. \
The words are part of the finding's message.

| what is wrong | finding | words |
|---|---|---|
"""


def modules() -> list[ModuleType]:
    """Return the modules of the laws, in the order of their numbers; one without a number stands last."""
    names = [file.stem for file in (ROOT / "layout" / "wiring" / "laws").glob("*.py") if file.stem not in NO_LAWS]
    found = [import_module(f"layout.wiring.laws.{name}") for name in names]
    return sorted(found, key=lambda module: (_number(module) or 99, module.__name__))


def _number(module: ModuleType) -> int | None:
    match = re.match(r"Law (\d+)", module.__doc__ or "")
    return int(match.group(1)) if match else None


def law_rows() -> Iterator[str]:
    """Yield one row for each law."""
    tests = {file.stem: file.read_text(encoding="utf-8") for file in sorted((ROOT / "tests/wiring").rglob("test_*.py"))}
    for module in modules():
        title, _, asks = " ".join((module.__doc__ or "").split("\n\n")[0].split()).rpartition(": ")
        name = module.__name__.rpartition(".")[2]
        number, _, said = title.removeprefix("Law ").partition(", ")
        heading = ", ".join(filter(None, (number, said or name.replace("_", " "))))
        codes = codes_of(module)
        sources = dict.fromkeys(part for code in codes for part in rules()[code].source.split("; "))
        using = [stem for stem, text in tests.items() if f"laws.{name} import" in text or _names(text, codes)]
        yield (
            f"| {heading} | {asks} | {', '.join(codes)} "
            f"| {'; '.join(sources)} | {', '.join(f'`{stem}`' for stem in using)} |"
        )


def _names(text: str, codes: list[str]) -> bool:
    """Tell whether a test of the laws on whole boats asks for one of these codes."""
    return "tests.wiring.laws.boats import changed" in text and any(f'"{code}"' in text for code in codes)


def codes_of(module: ModuleType) -> list[str]:
    """Return the codes that a law's module names, in their order."""
    text = Path(inspect.getfile(module)).read_text(encoding="utf-8")
    return sorted(set(CODE.findall(text)), key=code_order)


def case_rows() -> Iterator[str]:
    """Yield one row for each wrong boat of the tests and each code that must come out."""
    for name, (_, expected) in test_topology.WRONG.items():
        for code, words in expected.items():
            yield _case(name, code, words)
    for name, (_, codes) in test_overload.CASES.items():
        for code in dict.fromkeys(codes):
            yield _case(name, code, rules()[code].name.replace("-", " "))
    for name, (_, told) in test_currents.CASES.items():
        for code, words in told:
            yield _case(name, code, words)
    for name, (_, code, words) in test_boats.WRONG.items():
        yield _case(name, code, words)
    for name, (_, words) in test_boats.REFUSED.items():
        yield _case(name, "refused when read", words)


def _case(name: str, code: str, words: str) -> str:
    return f"| {name} | {code} | {words.replace('|', '/')} |"


def page() -> str:
    """Return the whole page."""
    return HEAD + "\n".join(law_rows()) + "\n" + CASES_HEAD + "\n".join(case_rows()) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
