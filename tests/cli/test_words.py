"""``spile words``, and the other ways to ask what there is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.cli.commands.words import Shelf
from layout.languages.catalogue import texts_of
from layout.vocabulary import KINDS
from tests.running import spile

if TYPE_CHECKING:
    import pytest


def test_kinds_are_those_of_the_vocabulary() -> None:
    """The words that help offers are the ones that can be searched."""
    assert [shelf.value for shelf in Shelf] == list(KINDS)


def test_a_purpose_is_told_with_its_limit() -> None:
    """The list says what each purpose allows; programs get the same."""
    ran = spile("words", "purposes", "cabin", "lights")
    assert (ran.code, ran.out.splitlines()[0]) == (0, "cabin lights")
    assert "10 %" in ran.out
    assert [row["word"] for row in spile("words", "purposes", "cabin lights", "--json").data["words"]] == [
        "cabin lights"
    ]


def test_a_word_that_is_not_there_names_the_nearest() -> None:
    """A word that nothing holds is refused, with the one that was most likely meant."""
    ran = spile("words", "purposes", "nav lights")
    assert ran.code == 2
    assert "did you mean 'navigation lights'?" in ran.err


def test_words_and_rules_in_another_language() -> None:
    """With ``--language`` keys and codes are explained in it; words of the file and codes stay."""
    ran = spile("words", "keys", "fuse", "--language", "de")
    assert ran.code == 0
    assert "Sicherung" in ran.out
    assert "Beispiel: fuse: 1.5 A" in ran.out
    told = spile("rules", "fuse 8", "--language", "de", "--json").data["rule"]
    plain = spile("rules", "fuse 8", "--json").data["rule"]
    assert told["code"] == plain["code"] == "fuse 8"
    assert told["mend"] == texts_of("de")[plain["mend"]]
    assert spile("rules", "fuse 8", "--language", "en", "--json").data["rule"] == plain


def test_a_language_that_is_not_there_is_refused() -> None:
    """The refusal names the languages there are."""
    ran = spile("words", "purposes", "--language", "xx")
    assert ran.code == 2
    assert "write one of en, de" in ran.err


def test_version_as_an_option() -> None:
    """``--version`` prints what the command ``version`` prints."""
    assert spile("--version").out == spile("version").out
    assert spile("--version").code == 0


def test_completion_is_offered_to_the_shell(monkeypatch: pytest.MonkeyPatch) -> None:
    """The script for a shell names the program; which shell it is is said, and not guessed from who runs the tests."""
    monkeypatch.setenv("_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION", "1")
    ran = spile("--show-completion", "bash")
    assert "COMPLETE" in ran.out
