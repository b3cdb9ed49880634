"""The reference: ``python -m tests.reference_pages`` writes ``docs/reference/``, all of it read from the program.

It is made when the handbook is built and kept nowhere, so that it can't be stale.

Words come from ``layout.vocabulary``, commands from the command line, the Python functions from ``spile``. How a
finding is mended stands in ``layout/findings/mending.yaml``; how it reads is each message that stands beside its code
in the source, else what a made-up boat of the tests is told.
"""

from __future__ import annotations

import ast
import inspect
import re
from functools import cache
from typing import TYPE_CHECKING

import yaml

import spile
from layout.cli.main import app
from layout.findings import AREAS, area, meanings, mends, retired, rules
from layout.vocabulary import words
from layout.vocabulary.gather import records
from tests.bench_interface import interface_page
from tests.conftest import ROOT
from tests.type_drawings import drawing

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from layout.vocabulary import Word

FOLDER = ROOT / "docs" / "reference"
CODE = re.compile(rf"(?:{'|'.join(AREAS)}) \d+")
SAID_BEFORE = ("text", "message", "words", "saying")
"""Names of what a call says where the message stands before it; what follows there is the remedy."""
WEIGHTS = {
    "stop": "Sheets that show what it concerns are withheld or overprinted until it is mended.",
    "watch": "The sheets are good to work from once somebody who knows has looked at it.",
    "note": "It is said so that nobody wonders later.",
}


def pages() -> dict[str, str]:
    """Return every page by its path below ``docs/reference``."""
    made = {
        "index.md": _index(), "purposes.md": _listed("Purposes", "purposes"), "types.md": _types(),
        "rules.md": _listed("Rules and wishes", "rules"), "keys.md": _keys(), "commands.md": _commands(),
        "python.md": _python(), "bench.md": interface_page(), "findings/index.md": _findings(),
    }  # fmt: skip
    made |= {f"findings/{code.replace(' ', '-')}.md": _finding(code) for code in rules()}
    return made | {f"types/{word.word}.svg": drawing(word.word) for word in words("types")}


def write(folder: Path) -> None:
    """Write all pages into a folder."""
    for name, text in pages().items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


def _index() -> str:
    return (
        "# Reference\n\n"
        "Made from the program, so that it says what the program does. The same is found in the terminal by "
        "`spile words`.\n\n"
        "- [Keys](keys.md): what a project file may say\n- [Purposes](purposes.md): what circuits are for\n"
        "- [Types](types.md): generic devices\n- [Rules and wishes](rules.md)\n"
        "- [Findings](findings/index.md): what each code means\n- [Commands](commands.md)\n- [Python](python.md)\n"
        "- [The bench's JSON interface](bench.md)\n"
    )


def _entry(word: Word, *, level: int = 2) -> str:
    facts = "".join(f"- {name}: {_plain(fact)}\n" for name, fact in word.facts)
    return f"{'#' * level} {word.word}\n\n{_plain(word.says)}\n\n{facts}"


def _listed(title: str, kind: str) -> str:
    return f"# {title}\n\n" + "\n".join(_entry(word) for word in words(kind))


def _types() -> str:
    head = (
        "# Types\n\nEach is a generic device from an open standard; compare with the maker's own template before "
        "cutting. Full line: face; dashed: cut-out; small circles: fixings.\n\n"
    )
    return head + "\n".join(f"{_entry(word)}\n![{word.word}](types/{word.word}.svg)\n" for word in words("types"))


def _keys() -> str:
    parts = ["# Keys\n\nBy the record they stand in. NAME is a key you choose.\n"]
    by_record: dict[str, list[Word]] = {}
    for word in words("keys"):
        by_record.setdefault(word.word.partition(".")[0], []).append(word)
    for path, record in records().items():
        about = _plain((inspect.getdoc(record) or "").partition("\n")[0])
        parts.append(f"## {record.__name__}\n\n{about}\n\nFirst stands at: `{path or 'the file itself'}`\n")
        parts += [_entry(word, level=3) for word in by_record.get(record.__name__, ())]
    return "\n".join(parts)


def _findings() -> str:
    rows = [f"| [{code}]({code.replace(' ', '-')}.md) | {row.severity.value} | {_plain(meanings()[code])} |"
            for code, row in rules().items()]  # fmt: skip
    gone = [f"| {code} | out of use | {one.name.replace('-', ' ')}; in its place: {one.instead} |"
            for code, one in retired().items()]  # fmt: skip
    return "# Findings\n\n| code | weight | what |\n|---|---|---|\n" + "\n".join((*rows, *gone)) + "\n"


def _finding(code: str) -> str:
    row = rules()[code]
    said = "".join(f"- {_plain(text)}\n" for text in messages().get(code, ()))
    reads = f"## How it reads\n\n{said}\n… stands for what differs.\n\n" if said else ""
    others = [name for name in rules() if area(name) == area(code) and name != code and rules()[name].why == row.why]
    also = f"\nSee also: {', '.join(others)}.\n" if others else ""
    return (
        f"# {code}: {row.name.replace('-', ' ')}\n\nWeight: **{row.severity.value}**. {WEIGHTS[row.severity.value]}\n\n"
        f"## What it means\n\n{_plain(meanings()[code])}\n\n{reads}"
        f"## Why it matters\n\n{_plain(row.why)}\n\n## Source\n\n{_plain(row.source)}\n\n## How to mend it\n\n"
        f"{_plain(mends()[code])} The finding itself names the place in the file, the value and the limit.\n{also}"
    )


@cache
def messages() -> dict[str, tuple[str, ...]]:
    """Return how each finding reads, by code: where message and code stand in one call, or the message just before."""
    said: dict[str, dict[str, None]] = {}
    for file in sorted((ROOT / "layout").rglob("*.py")):
        nodes = list(ast.walk(ast.parse(file.read_text(encoding="utf-8"))))
        named = [node for node in nodes if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)]
        for node in nodes:
            if isinstance(node, ast.Call):
                given = [*node.args, *(word.value for word in node.keywords if word.arg in ("message", "rule"))]
                texts = [_text(_as_written(value, named)) for value in given]
                code = next((text for text in texts if CODE.fullmatch(text)), "")
                reads = next((text for text in texts if " " in text and text != code), "")
                unknown = any(isinstance(value, ast.Name) and value.id in SAID_BEFORE and not text
                              for value, text in zip(given, texts, strict=True))  # fmt: skip
                if code and reads and not unknown:
                    said.setdefault(code, {})[reads] = None
    for code, text in yaml.safe_load((ROOT / "tests" / "wiring" / "faulty.yaml").read_text(encoding="utf-8")).items():
        said.setdefault(code, {text: None})
    return {code: tuple(texts) for code, texts in said.items()}


def _as_written(value: ast.expr, named: list[ast.Assign]) -> ast.expr:
    """Return what a name of ``SAID_BEFORE`` stands for: the text that was last given to it above."""
    if not isinstance(value, ast.Name) or value.id not in SAID_BEFORE:
        return value
    above = [node for node in named if node.lineno < value.lineno and node.targets[0].id == value.id]  # type: ignore[attr-defined]
    return max(above, key=lambda node: node.lineno).value if above else value


def _text(node: ast.expr) -> str:
    """Return a text of the source; what differs from case to case is an ellipsis."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else ""
    if isinstance(node, ast.JoinedStr):
        return "".join(part.value if isinstance(part, ast.Constant) else "…" for part in node.values)
    return ""


def _commands() -> str:
    parts = ["# Commands\n\nEach offers `--help`; most offer `--json`.\n"]
    for command in app.registered_commands:
        name = command.name or command.callback.__name__
        parts.append(f"## spile {name}\n\n{_example(inspect.getdoc(command.callback) or '')}\n")
    return "\n".join(parts)


def _example(text: str) -> str:
    return re.sub(r"^Example: (.*)$", r"    \1", _plain(text).replace("\nExample", "\n\nExample"), flags=re.MULTILINE)


def _python() -> str:
    parts = [f"# Python\n\n```text\n{inspect.getdoc(spile)}\n```\n"]
    for name in spile.__all__:
        made = getattr(spile, name)
        if inspect.isfunction(made):
            parts.append(f"## {name}\n\n```text\n{name}{inspect.signature(made)}\n\n{inspect.getdoc(made)}\n```\n")
        elif inspect.isclass(made):
            parts.append(f"## {name}\n\n```text\n{inspect.getdoc(made)}\n```\n")
    return "\n".join(parts)


def pieces() -> Iterator[str]:
    """Yield what every page is to name: for the test."""
    yield from (word.word for kind in ("purposes", "types", "rules") for word in words(kind))
    yield from (word.word for word in words("keys"))
    yield from (f"spile {command.name or command.callback.__name__}" for command in app.registered_commands)
    yield from (name for name in spile.__all__ if inspect.isfunction(getattr(spile, name)))


def _plain(text: str) -> str:
    return text.replace("``", "`").replace("|", "/").replace("<", "&lt;")


if __name__ == "__main__":
    write(FOLDER)
