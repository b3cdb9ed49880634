"""How a command speaks: tables, the progress line, the end."""

from __future__ import annotations

import io
import sys
import time
from pathlib import Path

import pytest
import typer

from layout.cli import voice as voices
from layout.cli.voice import Voice
from layout.findings import Finding


class Terminal(io.StringIO):
    """Standard error that a person looks at."""

    def isatty(self) -> bool:
        """Say yes."""
        return True


def test_columns_line_up(capsys: pytest.CaptureFixture[str]) -> None:
    """Texts stand to the left, numbers to the right, and None is a dash."""
    Voice().table(("name", "x"), [("radio", 12.5), ("a", 7), ("b", None)])
    said = capsys.readouterr().out.splitlines()
    assert said == ["name      x", "-----  ----", "radio  12.5", "a         7", "b         -"]


def test_progress_is_for_people_and_for_long_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """The line comes only after a while, each replaces the one before, and the next word of the result clears it."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(voices, "_PATIENCE_S", 0.05)
    voice = Voice()
    voice.progress("first")
    assert terminal.getvalue() == ""
    for _ in range(100):
        if terminal.getvalue():
            break
        time.sleep(0.05)
    voice.progress("second")
    voice.line("done")
    assert terminal.getvalue() == "\r\033[Kfirst\r\033[Ksecond\r\033[K"


@pytest.mark.parametrize("voice", [Voice(as_json=True), Voice(quiet=True), Voice()], ids=["json", "quiet", "piped"])
def test_progress_is_silent_otherwise(voice: Voice, monkeypatch: pytest.MonkeyPatch) -> None:
    """Programs, quiet runs and pipes never see a progress line."""
    pipe = io.StringIO() if not (voice.as_json or voice.quiet) else Terminal()
    monkeypatch.setattr(sys, "stderr", pipe)
    monkeypatch.setattr(voices, "_PATIENCE_S", 0.0)
    voice.progress("first")
    voice.progress("second")
    with pytest.raises(typer.Exit):
        voice.finish()
    assert pipe.getvalue() == ""


def test_files_of_one_name_stand_on_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    """Kinds of one document are told together, in order; programs get every path."""
    voice = Voice()
    voice.files([Path("out/a.pdf"), Path("out/a.csv"), Path("out/b.c.pdf")])
    assert capsys.readouterr().out.splitlines() == [f"  {Path('out/a')}.pdf .csv", f"  {Path('out/b.c')}.pdf"]
    assert len(voice.data["files"]) == 3


@pytest.mark.parametrize(
    ("terminal", "environment", "coloured"),
    [
        (True, {}, True),
        (True, {"NO_COLOR": ""}, True),  # an empty value asks for nothing (no-color.org)
        (True, {"NO_COLOR": "1"}, False),
        (True, {"TERM": "dumb"}, False),
        (False, {}, False),
    ],
)
def test_severity_is_coloured_only_where_a_person_wants_it(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    terminal: bool,
    environment: dict[str, str],
    coloured: bool,
) -> None:
    """On a terminal the severity word has colour; NO_COLOR, a dumb terminal or a pipe has plain text."""
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal)
    with pytest.raises(typer.Exit):
        Voice().finish([Finding(rule="fuse 8", message="made up")])
    err = capsys.readouterr().err
    assert ("\x1b[" in err) is coloured
    assert "made up" in err
