"""Texts said in another language: values in their places, names untouched, English as it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.languages import Language, Said, heard, in_language, spoken
from layout.languages.catalogue import Catalogue, shipped_languages, texts_of, value_places
from layout.languages.speech import Speech, is_plain

TEXTS = {
    "fuse {} A on {}": "Sicherung {} A an {}",
    "{} needs {} mm more": "{1} mm fehlen bei {0}",
    "the fuse of '{}' is too large": "die Sicherung von '{}' ist zu groß",
    "Take a thicker wire.": "Einen dickeren Leiter nehmen.",
    "one of {}": "eines von {=}",
    "{} takes {}": "{=1} passt zu {0}",
    "fuse": "Sicherung",
    "spare": "Reserve",
    "wire{}": "Leiter{}",
    "and": "und",
}
VALUES = st.from_regex(r"[A-Z]{2}\d{1,4}", fullmatch=True)


def german(*names: str) -> Speech:
    """Return speech with the few texts above."""
    return Speech(Language("de", frozenset(names)), Catalogue(TEXTS))


def test_order_of_values_may_change() -> None:
    """A translation may say its values in another order."""
    assert german().say("F12 needs 3.5 mm more") == "3.5 mm fehlen bei F12"


def test_values_are_said_in_their_turn() -> None:
    """A value that is a text of the program is translated as well; one in quotes is a key and is not."""
    assert german().say("fuse 5 A on spare") == "Sicherung 5 A an Reserve"
    assert german().say("the fuse of 'spare' is too large") == "die Sicherung von 'spare' ist zu groß"


def test_words_of_the_file_stay() -> None:
    """What the translation marks is a word to be written in the file: it stays, and nothing else beside it does."""
    assert german().say("fuse 5 A on one of spare, fuse") == "Sicherung 5 A an eines von spare, fuse"
    assert german().say("spare takes fuse") == "fuse passt zu Reserve"


@pytest.mark.parametrize(
    ("english", "said"),
    [
        ("spare, fuse", "Reserve, Sicherung"),
        ("Spare and fuse", "Reserve und Sicherung"),
        ("F1 needs 2 mm more. Take a thicker wire.", "2 mm fehlen bei F1. Einen dickeren Leiter nehmen."),
        ("fuse:", "Sicherung:"),
        ("2 spare", "2 Reserve"),
        ("wire", "Leiter"),
    ],
)
def test_texts_in_parts(english: str, said: str) -> None:
    """A list is said part by part, sentences one by one."""
    assert german().say(english) == said


@given(first=VALUES, second=VALUES)
def test_values_come_back_in_place(first: str, second: str) -> None:
    """Whatever the values are, they stand where the translation puts them."""
    assert german().say(f"fuse {first} A on {second}") == f"Sicherung {first} A an {second}"
    assert german().say(f"{first} needs {second} mm more") == f"{second} mm fehlen bei {first}"


@given(name=st.sampled_from(["spare", "fuse", "Spare fuse", "Fuse and spare", "Nav, anchor and spare"]))
def test_names_are_never_changed(name: str) -> None:
    """A name of the user stays, alone and in a text, even if the catalogue has its words."""
    assert german(name).say(name) == name
    assert german(name).say(f"fuse 5 A on {name}") == f"Sicherung 5 A an {name}"


@given(st.text(min_size=1))
def test_english_is_the_identity(text: str) -> None:
    """Where English is spoken, and with no language chosen, a text is the same object."""
    assert in_language(text) is text
    with spoken(Language()):
        assert in_language(text) is text


@given(st.text(max_size=40))
def test_any_text_can_be_said_twice(text: str) -> None:
    """Any text is said without an error, and what is said already is left as it is."""
    with spoken(Language("de")):
        said = in_language(text)
        assert in_language(said) is said


def test_language_ends_with_its_block() -> None:
    """One build leaves no language behind for the next, not even one that ends with an error."""
    with pytest.raises(ZeroDivisionError), spoken(Language("de", frozenset({in_language("x")}))):
        _ = 1 / (in_language("yes") == "no")
    assert in_language("yes") == "yes"


def test_what_is_missing_is_heard() -> None:
    """A listener is told of what the catalogue lacks, each time it is said, and not of numbers, units or names."""
    for _ in range(2):
        with spoken(Language("de", frozenset({"Old lamp"}))), heard() as told:
            in_language("glorp")
            in_language("2.5 mm²")
            in_language("Old lamp")
            assert list(told.missing) == ["glorp"]


@pytest.mark.parametrize("text", ["2.5 mm²", "014a+", "circuits.bilge", "wire 8", "1/2 in", "A", "", "--json"])
def test_plain_texts(text: str) -> None:
    """Numbers, units, keys and codes are the same in every language."""
    assert is_plain(text)


def test_places_must_agree() -> None:
    """A translation without one of the values, or with one too many, is refused."""
    for said in ("{} A", "{} {} {}", "{0} {0}", "{0} {2}"):
        with pytest.raises(ValueError, match="places"):
            Catalogue({"{} of {}": said})
    assert Catalogue({"{} cable{} of {}": "{0} Kabel von {2}"}) is not None
    assert value_places(TEXTS["fuse {} A on {}"]) == 2


@pytest.mark.parametrize("code", shipped_languages()[1:])
def test_shipped_catalogues_are_sound(code: str) -> None:
    """Every file is read, no text is said in two ways, and all places agree."""
    assert Catalogue(texts_of(code)).whole["yes"] == "ja"


def test_said_is_text() -> None:
    """A text that is said is a plain text for whoever writes it."""
    assert isinstance(Said("x"), str)
    assert Said("x") == "x"
