"""The page is told in the project's language what people read, and ids, keys and codes as they are."""

from __future__ import annotations

from layout.bench.spoken_answers import in_words
from layout.languages import Language, spoken


def test_sentences_are_said_and_ids_are_not() -> None:
    """Under a key that people read a text is translated, in lists too; an id that is a word of the program is not."""
    answer = {"id": "spare", "title": "spare", "rows": [["yes", "spare"], ["no", "2.5"]], "at": {"key": "feed"}}
    with spoken(Language("de")):
        said = in_words(answer)
    assert said == {"id": "spare", "title": "frei", "rows": [["ja", "frei"], ["nein", "2.5"]], "at": {"key": "feed"}}
    assert in_words(answer) == answer
