"""A shipped language has every text: each sentence of the source, and whatever an example prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.languages.catalogue import shipped_languages
from tests.conftest import ROOT
from tests.drawing.paper import overlapping, text_boxes
from tests.handover.pages import outside
from tests.languages.__main__ import EXAMPLES
from tests.languages.texts import all_texts, unspoken, untranslated
from tests.printed import pages

if TYPE_CHECKING:
    from pathlib import Path

CODES = shipped_languages()[1:]


def test_there_is_much_to_say() -> None:
    """The source is really read: there are more than two thousand texts."""
    assert len(all_texts()) > 2000


@pytest.mark.parametrize("code", CODES)
def test_every_sentence_is_translated(code: str) -> None:
    """No sentence of the source is without its translation; ``python -m tests.languages`` lists what is missing."""
    assert untranslated(code) == {}


@pytest.mark.parametrize("code", CODES)
def test_small_example_is_spoken_whole(code: str, tmp_path: Path) -> None:
    """A small example prints nothing but translated texts, names, numbers and keys; longer words keep their room."""
    assert unspoken(ROOT / "examples" / EXAMPLES[-1], code, tmp_path) == {}
    books = sorted(tmp_path.rglob("*.pdf"))
    assert len(books) > 6
    for book in books:
        assert outside(book.read_bytes()) == [], book.name
        assert [overlapping(text_boxes(page)) for page in pages(book)] == [[] for _ in pages(book)], book.name


@pytest.mark.long
@pytest.mark.parametrize("example", EXAMPLES[:-1])
@pytest.mark.parametrize("code", CODES)
def test_examples_are_spoken_whole(code: str, example: str, tmp_path: Path) -> None:
    """So do the launch, the barge and the wall."""
    assert unspoken(ROOT / "examples" / example, code, tmp_path) == {}
