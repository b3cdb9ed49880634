"""Wire numbers are for life."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.wiring.schedule.numbering import assign_numbers, format_number, pattern_fault, segment_letters

KEYS = st.lists(
    st.builds("circuits.{}{}".format, st.sampled_from("abcdefgh"), st.sampled_from(["", ":one", ":two", ":three"])),
    unique=True,
)


def numbers(keys, known=None):
    """Return the numbers as a plain dict."""
    return dict(assign_numbers(keys, known or {}).taken)


@given(before=KEYS, after=KEYS)
def test_known_numbers_stay(before, after):
    """Whatever is added, removed or moved, a key that had a number keeps it."""
    first = numbers(before)
    second = numbers(after, first)
    assert {key: second[key] for key in first} == first


@given(before=KEYS, after=KEYS)
def test_no_number_is_given_twice(before, after):
    """Owners never share a number, nor do segments of one owner, also over removals."""
    found = numbers(after, numbers(before))
    slots = [(key.partition(":")[0] if ":" in key else "", number) for key, number in found.items()]
    assert len(set(slots)) == len(slots)


def test_removed_numbers_are_not_used_again():
    """The circuit that is gone keeps 2 for ever."""
    first = numbers(["circuits.a", "circuits.b"])
    assert numbers(["circuits.a", "circuits.c"], first)["circuits.c"] == 3


def test_new_ones_are_numbered_in_their_order():
    """From 1, in the order of the file."""
    found = numbers(["feeders.main", "circuits.z", "circuits.a"])
    assert [found[key] for key in ("feeders.main", "circuits.z", "circuits.a")] == [1, 2, 3]


def test_a_gap_in_the_register_gives_no_number_twice():
    """After numbers 1 and 7 comes 8, not 3: what was between may still be on a wire."""
    found = numbers(["circuits.a", "circuits.b", "circuits.c"], {"circuits.a": 1, "circuits.b": 7})
    assert [found[key] for key in ("circuits.a", "circuits.b", "circuits.c")] == [1, 7, 8]


def test_segments_of_one_owner_are_numbered_in_their_order():
    """Each owner's segments count from 1."""
    found = numbers(["circuits.a:one", "circuits.a:two", "circuits.b:one"])
    segments = ("circuits.a:one", "circuits.a:two", "circuits.b:one")
    assert [found[key] for key in segments] == [1, 2, 1]


def test_owners_and_segments_are_counted_apart():
    """Owner 7 with a segment 9: the next segment is 10, the next owner 8; another owner's first segment is 1."""
    known = {"circuits.a": 7, "circuits.a:one": 9, "circuits.b": 5}
    given_out = numbers(["circuits.a:two", "circuits.b:one", "circuits.c"], known)
    keys = ("circuits.a:two", "circuits.b:one", "circuits.c")
    assert [given_out[key] for key in keys] == [10, 1, 8]


def test_twins_in_the_register_are_refused():
    """Two circuits with one number can't both keep it."""
    with pytest.raises(ValueError, match="same number 4"):
        assign_numbers([], {"circuits.a": 4, "circuits.b": 4})


@pytest.mark.parametrize(("number", "letters"), [(1, "a"), (26, "z"), (27, "aa"), (52, "az"), (703, "aaa")])
def test_segment_letters(number, letters):
    """Segments count in letters."""
    assert segment_letters(number) == letters


@pytest.mark.parametrize(
    ("pattern", "core", "expected"),
    [
        ("{circuit:03d}{segment}{pole}", None, "007b+"),
        ("{circuit:03d}{segment}{pole}", 2, "007b+.2"),
        ("W{circuit}-{segment}{core}{pole}", 2, "W7-b2+"),
        ("W{circuit}-{segment}{core}{pole}", None, "W7-b+"),
    ],
)
def test_pattern(pattern, core, expected):
    """The project's own pattern; a core number is added where the pattern leaves it out."""
    assert format_number(pattern, circuit=7, segment=2, pole="+", core=core) == expected


@pytest.mark.parametrize(
    "pattern", ["{circuit}", "{circuit}{segment}", "{wire}{circuit}{segment}{pole}", "{circuit:q}{}"]
)
def test_bad_patterns(pattern):
    """A pattern that gives two wires one number, or has a field that does not exist, is refused."""
    with pytest.raises(ValueError, match="number_pattern"):
        format_number(pattern, circuit=1, segment=1, pole="+", core=None)


@pytest.mark.parametrize(
    ("pattern", "fault"),
    [
        ("{circuit}{segment}{pole}", None),
        ("{circuit}{segment}", "number_pattern '{circuit}{segment}' lacks pole; two wires would get one number"),
    ],
)
def test_why_a_pattern_is_refused(pattern, fault):
    """One that tells wires apart has no fault; the other says what it lacks."""
    assert pattern_fault(pattern) == fault


def test_words_for_poles_become_letters():
    """A switched positive is marked S."""
    assert format_number("{circuit}{segment}{pole}", circuit=1, segment=1, pole="switched", core=None) == "1aS"
