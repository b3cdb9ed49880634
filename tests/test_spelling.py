"""Spelling of what people read: the handbook, the README, what findings say of why and how to mend.

A word is right where the word list of a library has it, or ``tests/spelling.txt``, which holds the words of the trade
and of this project. Code, names of files and keys, links and signs are left out.
"""

from __future__ import annotations

import re
from functools import cache

import pytest
from spellchecker import SpellChecker

from layout.findings import meanings, mends, rules
from tests.conftest import ROOT

NO_PROSE = re.compile(
    r"```.*?```|`[^`\n]*`|^ {4,}[^\n]*$|\]\([^)]*\)|https?://\S+|<[^>]+>", flags=re.DOTALL | re.MULTILINE
)
WORD = re.compile(r"(?<![\w./°-])[A-Za-z][a-z]+(?:'[a-z]+)?(?![\w/°])")
OWN = frozenset((ROOT / "tests" / "spelling.txt").read_text(encoding="utf-8").split())
PAGES = (
    "README.md",
    "DEVELOPERS.md",
    "SECURITY.md",
    *(f"docs/{file.name}" for file in sorted((ROOT / "docs").glob("*.md"))),
)


@cache
def checker() -> SpellChecker:
    """Return the library's list of English words."""
    return SpellChecker(language="en", distance=1)


def wrong(text: str) -> list[str]:
    """Return the words of a text that no list has, in their order."""
    prose = NO_PROSE.sub(" ", text)
    words = dict.fromkeys(word.lower().removesuffix("'s") for word in WORD.findall(prose))
    known = checker().known(words)
    return [word for word in words if word not in known and word not in OWN]


def test_a_slip_is_seen() -> None:
    """A misspelt word is named; the right one, one of the trade, and code are not."""
    assert wrong("The breaker opens `teh` circiut behind the ferrule.") == ["circiut"]


@pytest.mark.parametrize("page", PAGES)
def test_pages_are_spelt(page: str) -> None:
    """Each word of a page is one."""
    assert wrong((ROOT / page).read_text(encoding="utf-8")) == []


def test_findings_are_spelt() -> None:
    """So is each word of what a finding means, why it matters and how it is mended."""
    assert wrong("\n".join((*(rule.why for rule in rules().values()), *meanings().values(), *mends().values()))) == []


def test_the_list_holds_no_idle_word() -> None:
    """Each word of our own list stands in one of these texts, and none is in the library's."""
    texts = [(ROOT / page).read_text(encoding="utf-8") for page in PAGES]
    texts += [rule.why for rule in rules().values()] + [*meanings().values(), *mends().values()]
    said = {word.lower().removesuffix("'s") for word in WORD.findall(NO_PROSE.sub(" ", "\n".join(texts)))}
    assert sorted(OWN - said) == []
    assert sorted(checker().known(OWN)) == []
