"""Keys of entries and ends of conductors as values."""

from __future__ import annotations

import copy
import pickle
from dataclasses import fields
from typing import get_type_hints

import pytest

from layout.project.model.aboard import Aboard, Existing
from layout.project.model.circuits import Circuit
from layout.project.model.keys import End, Entry, EntryKey
from layout.project.model.project import Project
from layout.project.model.supplies import Feeder
from layout.project.reading import spec


@pytest.mark.parametrize(
    ("text", "owner", "terminal"), [("house/+", "house", "+"), ("dc24/7", "dc24", "7"), ("negbar", "negbar", "")]
)
def test_an_end_is_its_text_and_knows_its_parts(text: str, owner: str, terminal: str) -> None:
    """An end equals, hashes and prints as it is written, and gives owner and terminal."""
    end = End.read(text)
    assert (end, hash(end), str(end), end.owner, end.terminal) == (text, hash(text), text, owner, terminal)
    assert End(owner, terminal) == end


@pytest.mark.parametrize(
    ("text", "section", "id_"), [("devices.radio", "devices", "radio"), ("energy.banks.house", "energy.banks", "house")]
)
def test_a_key_is_its_text_and_knows_its_parts(text: str, section: str, id_: str) -> None:
    """A key equals the text of findings' subjects, and gives section, id and paths inside the entry."""
    key = EntryKey.read(text)
    assert (key, key.section, key.id, key.inner("behind", 0)) == (text, section, id_, f"{text}.behind.0")
    assert EntryKey(section, id_) == key


@pytest.mark.parametrize("value", [End("house", "+"), EntryKey("devices", "radio")])
def test_copies_keep_their_parts(value: End | EntryKey) -> None:
    """What is copied or sent to another process is the same value with the same parts."""
    for twin in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
        assert type(twin) is type(value)
        assert [getattr(twin, part) for part in value.__slots__] == [getattr(value, part) for part in value.__slots__]


def test_every_section_knows_its_name() -> None:
    """The entries of each section of a project give the key they stand under."""
    kinds = get_type_hints(Project, include_extras=True)
    for field in fields(Project):
        entry = spec.record(spec.mapped(kinds[field.name]) or str)
        if entry is not None and field.name != "positions":
            assert issubclass(entry, Entry), field.name
            assert field.name == entry.SECTION


def test_what_becomes_of_a_thing_is_asked_in_words() -> None:
    """Of the four answers each is one of new, staying and removed."""
    asked = {
        existing: (feeder.is_new, feeder.stays, feeder.is_removed)
        for existing in (None, *Existing)
        for feeder in [Feeder(from_=End("a"), to=End("b"), aboard=existing)]
    }
    assert asked == {
        None: (True, False, False),
        Existing.KEEP: (False, True, False),
        Existing.REUSE: (False, True, False),
        Existing.REMOVE: (False, False, True),
    }
    assert issubclass(Circuit, Aboard)
