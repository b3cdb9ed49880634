"""Every key has a sentence of its own, shared with no neighbour, and no sentence speaks of a key that is gone."""

from __future__ import annotations

import pytest

from layout.project.reading import spec
from layout.project.reading.doctext import attribute_texts, key_texts
from layout.standards.purposes import listed_purposes
from layout.vocabulary.gather import records

RECORDS = {record.__name__: record for record in records().values()}


@pytest.mark.parametrize("name", sorted(RECORDS))
def test_each_key_has_its_own_sentence(name: str) -> None:
    """No key of a record is without one, and no two have the same."""
    texts = attribute_texts(RECORDS[name])
    told = {key: texts.get(field, "") for key, (field, _) in spec.written_keys(RECORDS[name]).items()}
    assert [key for key, text in told.items() if not text] == []
    assert len(set(told.values())) == len(told), told


def test_no_sentence_is_stale() -> None:
    """Each row of the table is a key of the model, and ends as a sentence does."""
    for name, rows in key_texts().items():
        if name != "every record":
            assert set(rows) <= set(spec.written_keys(RECORDS[name])), name
        assert [text for text in rows.values() if not text.endswith(".")] == []


def test_example_purposes_are_listed() -> None:
    """The purposes that the sentence about ``purpose`` names are ones of the table."""
    named = attribute_texts(RECORDS["Circuit"])["purpose"].split("'")[1::2]
    assert set(named) - {"spile words purposes"} <= set(listed_purposes())
    assert len(named) >= 4
