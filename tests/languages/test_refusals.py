"""Why a file is refused is said in the language whole, and the words to be written in the file stay as they are."""

from __future__ import annotations

import re

import pytest

from layout.languages import Language, heard, in_language, spoken
from layout.languages.catalogue import shipped_languages
from layout.project.reading.read import read
from tests.conftest import ROOT

BAD = sorted((ROOT / "tests" / "project" / "bad").glob("*.yaml"))
QUOTED = re.compile(r"(?<!\w)'[^']+'(?!\w)")


@pytest.fixture(scope="module")
def refusals() -> list[str]:
    """All messages and remedies of the bad projects, in English."""
    found = [finding for file in BAD for finding in read(file).findings]
    return [text for finding in found for text in (finding.message, finding.remedy) if text]


@pytest.mark.parametrize("code", shipped_languages()[1:])
def test_refusals_are_said_whole(code: str, refusals: list[str]) -> None:
    """Nothing of them is left in English but ids of the file; what stands in quotes is of the file and stays."""
    ids = {
        word for file in BAD for word in re.findall(r"[\w-]+(?=:)", file.read_text(encoding="utf-8", errors="replace"))
    }
    with spoken(Language(code)), heard() as told:
        said = [in_language(text) for text in refusals]
    assert set(told.missing) <= ids
    for text, other in zip(refusals, said, strict=True):
        assert sorted(QUOTED.findall(text)) == sorted(QUOTED.findall(other))


@pytest.mark.parametrize(
    "text",
    [
        "panels.wall.material: expected one of plywood, acrylic, steel, found 'wood'",
        "write one of: front, rear, all",
        "a table with keys such as depth, left, right",
        "known keys: hull, fuel, dc_negative",
        "add 'outline:' and a table with at, or a table with arc_to and through, or a list of 2 (each a number)",
    ],
)
def test_words_to_be_written_stay(text: str) -> None:
    """A word that the reader asks for is the file's, although the catalogue has a German one for paper."""
    asked = "plywood acrylic steel front rear all depth left right hull fuel dc_negative outline at arc_to through"
    with spoken(Language("de")):
        said = in_language(text)
    for word in re.findall(r"\w+", text):
        assert word not in asked.split() or re.search(rf"\b{word}\b", said), (word, said)
