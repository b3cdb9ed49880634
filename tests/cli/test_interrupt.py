"""Ctrl-C as a wish for an early end."""

from __future__ import annotations

import os
import signal
import threading
from typing import TYPE_CHECKING

import pytest

from layout.cli.interrupt import early_end
from layout.cli.main import app
from layout.cli.options import BROKEN_OFF

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture
def hearing() -> Iterator[None]:
    """Hear Ctrl-C as a command in the foreground does; a run in the background is started deaf to it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("hearing")
def test_first_asks_and_second_ends() -> None:
    """The first Ctrl-C is only remembered, the second is an interrupt as ever; afterwards all is as it was."""
    before = signal.getsignal(signal.SIGINT)
    with early_end() as is_asked:
        assert not is_asked()
        os.kill(os.getpid(), signal.SIGINT)
        assert is_asked()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


def test_other_threads_hear_nothing() -> None:
    """Away from the main thread nothing is set up and nobody asks for an end."""
    heard: list[bool] = []

    def work() -> None:
        with early_end() as is_asked:
            heard.append(is_asked())

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert heard == [False]


def test_broken_off_has_a_code_of_its_own(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A command that is ended by Ctrl-C is neither fine nor a finding, and shows no traceback."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("layout.project.reading.read.read", interrupt)
    with pytest.raises(SystemExit) as end:
        app(["check", "panel.yaml"])
    assert end.value.code == BROKEN_OFF
    assert capsys.readouterr().err == "broken off; every file is whole\n"
