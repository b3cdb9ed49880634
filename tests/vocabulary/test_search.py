"""The words of a project: gathered whole, each told about, and found however they are written."""

from __future__ import annotations

from typing import get_args

import pytest

from layout.findings import retired, rules
from layout.placing.rule_table import hard_rules
from layout.project.catalogue import entries
from layout.project.model.wishes import WishKind
from layout.project.reading import spec
from layout.standards.purposes import listed_purposes
from layout.vocabulary import KINDS, search, words
from layout.vocabulary.gather import records


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("purposes", set(listed_purposes())),
        ("types", set(entries())),
        ("rules", {*hard_rules(), *get_args(WishKind)}),
        ("findings", {*rules(), *retired()}),
        ("keys", {f"{record.__name__}.{key}" for record in records().values() for key in spec.written_keys(record)}),
    ],
)
def test_every_word_is_there_once(kind: str, names: set[str]) -> None:
    """What a table or the model has is in the vocabulary, and nothing else."""
    listed = [word.word for word in words(kind)]
    assert sorted(listed) == sorted(names)


def test_keys_reach_every_part_of_the_file() -> None:
    """The walk comes to sections, to what stands in them, and to what stands in that."""
    paths = records()
    assert paths["circuits.NAME"].__name__ == "Circuit"
    assert paths["circuits.NAME.load"].__name__ == "Load"
    assert paths["panels.NAME.hinge"].__name__ == "Hinge"


def test_a_key_says_its_unit_its_range_and_its_default() -> None:
    """What the editor's schema knows of a key stands in its entry."""
    facts = dict(search("keys", "Load.current")[0].facts)
    assert facts["takes"] == "a current like 1.5 A"
    assert facts["range"] == "more than 0 A, at most 10000 A"
    assert facts["default"] == "left out"


@pytest.mark.parametrize(
    ("kind", "text", "first"),
    [
        ("purposes", "bilge pump", "bilge pump"),  # itself before what holds it
        ("purposes", "Bilge_Blower", "bilge blower"),
        ("types", "gauge 52", "gauge-52"),
        ("keys", "purpose", "Circuit.purpose"),
        ("findings", "fuse 8", "fuse 8"),
        ("findings", "breaking capacity", "fuse 8"),
    ],
)
def test_a_word_is_found_however_it_is_written(kind: str, text: str, first: str) -> None:
    """Case, blanks, hyphens and underscores don't count; the word itself comes first."""
    assert first in [word.word for word in search(kind, text)][:3]


@pytest.mark.parametrize("kind", KINDS)
def test_no_text_gives_all_and_nonsense_nothing(kind: str) -> None:
    """Without a text the whole list is given."""
    assert search(kind, "") == words(kind)
    assert search(kind, "qqqq") == ()


def test_limits_of_purposes() -> None:
    """Navigation lights may lose 3 %, cabin lights 10 % (ABYC E-11, ISO 10133)."""
    limit = {word.word: word.says for word in words("purposes")}
    assert "3 % by iso, 3 % by abyc" in limit["navigation lights"]
    assert "10 % by iso, 10 % by abyc" in limit["cabin lights"]
