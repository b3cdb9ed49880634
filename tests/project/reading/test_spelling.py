"""Nearest words for messages."""

from __future__ import annotations

from difflib import SequenceMatcher
from itertools import takewhile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.project.reading.spelling import among, meant, nearest

KEYS = ["outline", "thickness", "no_go", "old_holes", "gauge-52", "gauge-85"]


@pytest.mark.parametrize(
    ("word", "known"),
    [
        ("outlin", "outline"),
        ("Thickness", "thickness"),
        ("nogo", "no_go"),
        ("no-go", "no_go"),
        ("old hole", "old_holes"),
        ("gauge-53", "gauge-52"),
        ("gauge 86", "gauge-85"),
        ("voltage", None),
        ("", None),
    ],
)
def test_nearest_word(word: str, known: str | None) -> None:
    """The word most likely meant is found whatever its case and joints; a strange word has none."""
    assert nearest(word, KEYS) == known


@given(st.sampled_from(KEYS), st.integers(0, 8), st.sampled_from("abc_x"))
def test_one_slip_is_forgiven(word: str, at: int, letter: str) -> None:
    """A known word with one letter too many is still the nearest to itself."""
    at = min(at, len(word))
    assert nearest(word[:at] + letter + word[at:], KEYS) == word


@given(st.text("abcd_ ", max_size=8), st.lists(st.text("abcd-", max_size=8), max_size=6))
def test_quick_looks_leave_none_out(word: str, known: list[str]) -> None:
    """The nearest is the first with the largest share of letters in order plus a hundredth for each that starts it."""
    bare, best, best_score = word.replace("_", "").replace(" ", ""), None, 0.6
    for name in known:
        other = name.replace("-", "")
        start = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(bare, other, strict=False)))
        ratio = SequenceMatcher(a=other, b=bare).ratio()
        if ratio + 0.01 * start > best_score and 2 * min(len(bare), len(other)) >= 0.6 * len(bare + other):
            best, best_score = name, ratio + 0.01 * start
    assert nearest(word, known) == best


def test_remedies() -> None:
    """A remedy names the near word, else the known ones, and says so when there is none."""
    assert meant("outlin", KEYS, what="known keys") == "did you mean 'outline'?"
    assert meant("zzz", ["a", "b"], what="known keys") == "known keys: a, b"
    assert meant("zzz", [], what="known") == "known: nothing yet"
    assert among(list("abcdef"), most=4) == "a, b, c, d and 2 more"
