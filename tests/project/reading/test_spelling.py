"""Nearest words for messages."""

from __future__ import annotations

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


def test_remedies() -> None:
    """A remedy names the near word, else the known ones, and says so when there is none."""
    assert meant("outlin", KEYS, what="known keys") == "did you mean 'outline'?"
    assert meant("zzz", ["a", "b"], what="known keys") == "known keys: a, b"
    assert meant("zzz", [], what="known") == "known: nothing yet"
    assert among(list("abcdef"), most=4) == "a, b, c, d and 2 more"
