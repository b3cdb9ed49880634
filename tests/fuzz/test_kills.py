"""A command that is ended while it writes loses nothing; ``python -m tests.fuzz.kills`` does so at length."""

from __future__ import annotations

from tests.fuzz.kills import WAYS, kills


def test_nothing_is_lost_by_an_ended_command() -> None:
    """Killed at a step, in half a file, at some moment, or with a full disk: numbers and documents are whole."""
    names = ("pin", "log", "renew")
    done = kills(len(names) * len(WAYS), names=names)
    assert (done.faults, done.rounds.total()) == ([], 12)
