"""The table of rules: whole, in use, and each of its faults produced by some test."""

from __future__ import annotations

import re
from functools import cache

import pytest

from layout.cli.main import app
from layout.findings import code_order, meanings, mends, retired, rule, rules
from layout.vocabulary import words
from tests.conftest import ROOT

CODE = re.compile(r"\b(?:file|panel|fit|cut|wire|fuse|bus|day|paper) (?:1[0-4]\d|[1-9]\d?)\b(?! ?(?:A|mm|m|V)\b)")
QUOTED = re.compile(r'"((?:file|panel|fit|cut|wire|fuse|bus|day|paper) (?:1[0-4]\d|[1-9]\d?))"')


@cache
def codes_in(folder: str) -> dict[str, set[str]]:
    """Return the codes named below a folder, in the program only texts of their own, with the files they stand in."""
    found: dict[str, set[str]] = {}
    for file in sorted((ROOT / folder).rglob("*")):
        table = "findings" in (file.parent.name, file.parent.parent.name) and file.suffix == ".yaml"
        if file.suffix not in (".py", ".yaml", ".txt") or table or file.name == "test_findings.py":
            continue
        pattern = QUOTED if folder == "layout" else CODE
        for code in pattern.findall(file.read_text(encoding="utf-8", errors="replace")):
            found.setdefault(code, set()).add(str(file.relative_to(ROOT)))
    return found


def test_codes_in_use_are_in_the_table() -> None:
    """Whatever code the program or a test names, the table has a row for it."""
    used = {**codes_in("layout"), **codes_in("tests")}
    known = {**rules(), **retired()}
    assert {code: files for code, files in used.items() if code not in known} == {}


def test_every_rule_is_reported() -> None:
    """Each row of the table is reported somewhere in the program."""
    assert {code: row.name for code, row in rules().items() if code not in codes_in("layout")} == {}


def test_every_rule_is_tested() -> None:
    """Each row of the table is named by some test, which makes it come out."""
    assert {code: row.name for code, row in rules().items() if code not in codes_in("tests")} == {}


@pytest.mark.parametrize("code", sorted(rules()))
def test_every_row_reads_well(code: str) -> None:
    """A row's name is the fault in lower case with hyphens; it gives one sentence why, and a source."""
    row = rule(code)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", row.name)
    assert row.why[0].isupper() or row.why[0].isdigit()
    assert row.why.endswith(".")
    assert row.source
    assert code_order(code)


def test_every_finding_says_what_it_means() -> None:
    """The table of meanings has one short sentence for each code, and no two codes mean the same."""
    assert sorted(meanings()) == sorted(rules())
    assert [code for code, text in meanings().items() if not text.endswith(".")] == [], "add them to meaning.yaml"
    assert [code for code, text in meanings().items() if not (text[0].isupper() and text.endswith("."))] == []
    assert max(len(text) for text in meanings().values()) < 120
    assert len(set(meanings().values())) == len(meanings())


def test_every_finding_says_how_it_is_mended() -> None:
    """The table of mending has a sentence for each code, and each key and command it names is one."""
    assert sorted(mends()) == sorted(rules())
    keys = {word.word.rpartition(".")[2] for word in words("keys")}
    commands = {command.name or command.callback.__name__ for command in app.registered_commands}
    for code, text in mends().items():
        assert text[0].isupper(), code
        assert text.endswith("."), code
        assert [name for name in re.findall(r"\b[a-z]+(?:_[a-z]+)+\b", text) if name not in keys] == [], code
        assert [name for name in re.findall(r"\bspile ([a-z]+)", text) if name not in commands] == [], code


def test_no_code_is_given_twice() -> None:
    """A code out of use is in no table of rules, and what tells of its fault now is."""
    for code, gone in retired().items():
        assert code not in rules()
        assert code_order(code)
        named = CODE.findall(gone.instead)
        assert named
        assert set(named) <= set(rules())


def test_names_are_unique() -> None:
    """Two rules never share a name."""
    names = [row.name for row in rules().values()]
    assert sorted(set(names)) == sorted(names)
