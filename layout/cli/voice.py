"""What a command says: its result to standard output, findings and progress to standard error."""

from __future__ import annotations

import json
import os
import shutil
import sys
import threading
from typing import TYPE_CHECKING, Any, NoReturn

import typer

from layout.cli.options import FINE, STOPS, UNUSABLE
from layout.languages import Language, Said, in_language, speak, spoken_language
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from layout.findings import Finding

SAFETY = (
    "Isolate all supplies before work starts. 120 and 230 V are for a licensed person. Local codes win. Compare each "
    "device with its maker's own template before cutting."
)
"""Said where a command hands out what somebody could act on."""

_PATIENCE_S = 1.0
"""Work that takes less shows no progress."""


@dataclass(slots=True)
class Voice:
    """Says what one command has to say, for people as it comes, for programs at the end.

    Attributes
    ----------
    as_json
        One JSON object on standard output at the end, and nothing else.
    quiet
        Findings only.
    """

    as_json: bool = False
    quiet: bool = False
    data: dict[str, Any] = field(default_factory=dict)
    _doing: str = ""
    _live: bool = False
    _timer: threading.Timer | None = None

    @property
    def is_exact(self) -> bool:
        """Whether standard output takes every sign."""
        return (sys.stdout.encoding or "utf-8").lower().startswith("utf")

    def speak(self, code: str | None) -> None:
        """Speak the language that a command was asked to, by its two letters; without one nothing changes.

        Raises
        ------
        typer.Exit
            With code 2, if there is no such language.
        """
        from layout.languages.catalogue import shipped_languages

        if code is None:
            return
        if code not in shipped_languages():
            self.refuse(f"there is no language '{code}'", remedy=f"write one of {', '.join(shipped_languages())}")
        speak(Language(code, spoken_language().names))

    def line(self, text: str = "") -> None:
        """Say one line of the result."""
        if not (self.as_json or self.quiet):
            self._end_progress()
            sys.stdout.write(in_language(text) + "\n")

    def explain(self, lines: Sequence[str]) -> None:
        """Say what stands beside the result in sentences; programs find it under ``said``."""
        self.data["said"] = [in_language(line) for line in lines]
        for line in lines:
            self.line(line)

    def table(self, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """Say a table with columns as wide as they need; numbers stand to the right."""
        head = [in_language(word) for word in head]
        texts = [[in_language(_cell(cell)) for cell in row] for row in rows]
        widths = [max(len(row[i]) for row in [list(head), *texts]) for i in range(len(head))]
        right = [bool(texts) and all(_is_number(row[i]) for row in texts) for i in range(len(head))]
        for row in [list(head), ["-" * width for width in widths], *texts]:
            cells = [c.rjust(w) if r else c.ljust(w) for c, w, r in zip(row, widths, right, strict=True)]
            self.line(Said("  ".join(cells).rstrip()))

    def files(self, files: Sequence[Path]) -> None:
        """Say which files were written; files of one name stand on one line, each kind once."""
        self.data.setdefault("files", []).extend(str(file) for file in files)
        kinds: dict[Path, list[str]] = {}
        for file in files:
            kinds.setdefault(file.with_suffix(""), []).append(file.suffix)
        for name, suffixes in kinds.items():
            self.line(Said(f"  {name}{' '.join(suffixes)}"))

    def progress(self, text: str) -> None:
        """Show one line that the next one replaces: only where a person is watching, and not for short work."""
        if self.as_json or self.quiet or not sys.stderr.isatty():
            return
        self._doing = in_language(text)
        if self._timer is None:
            self._timer = threading.Timer(_PATIENCE_S, self._show)
            self._timer.daemon = True
            self._timer.start()
        elif self._live:
            self._show()

    def _show(self) -> None:
        self._live = True
        sys.stderr.write(f"\r\033[K{self._doing}")
        sys.stderr.flush()

    def finish(self, findings: Sequence[Finding] = (), sources: Mapping[str, str] | None = None) -> NoReturn:
        """Report findings and end with the exit code they ask for.

        Raises
        ------
        typer.Exit
            Always: code 0, or 1 with findings of severity stop.
        """
        from layout.findings import has_stops

        self._end(findings, sources, STOPS if has_stops(findings) else FINE)

    def stop(self, findings: Sequence[Finding], sources: Mapping[str, str] | None = None) -> NoReturn:
        """Report why the input is not usable and end.

        Raises
        ------
        typer.Exit
            Always, with code 2.
        """
        self._end(findings, sources, UNUSABLE)

    def end(self, code: int) -> NoReturn:
        """End with a code that is worked out elsewhere.

        Raises
        ------
        typer.Exit
            Always, with that code.
        """
        self._end((), None, code)

    def refuse(self, message: str, *, remedy: str | None = None, rule: str = "file 90") -> NoReturn:
        """End because a command can't do what it was asked for.

        Raises
        ------
        typer.Exit
            Always, with code 2.
        """
        from layout.findings import Finding

        self.stop([Finding(rule=rule, message=message, remedy=remedy)])

    def _end(self, findings: Sequence[Finding], sources: Mapping[str, str] | None, code: int) -> NoReturn:
        from layout.cli.telling import told
        from layout.findings import as_json

        self._end_progress()
        if self.as_json:
            whole = {"exit": code, "findings": as_json(findings), **self.data}
            sys.stdout.write(json.dumps(whole, indent=2, ensure_ascii=not self.is_exact) + "\n")
        else:
            sys.stdout.flush()
            coloured = _takes_colour()
            for line in told(findings, sources, width=shutil.get_terminal_size((100, 24)).columns):
                sys.stderr.write((_coloured(line) if coloured else line) + "\n")
        raise typer.Exit(code)

    def _end_progress(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        if self._live:
            sys.stderr.write("\r\033[K")
            sys.stderr.flush()
            self._live = False


COLOURS = {"stop": "1;31", "watch": "33", "note": "36"}
"""How a severity word is shown (ECMA-48, select graphic rendition)."""


def _takes_colour() -> bool:
    """Tell whether a person watches who did not ask for plain text (``NO_COLOR``, any value but an empty one)."""
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _coloured(line: str) -> str:
    """Return a line with its severity word in colour; other lines as they are."""
    word = line.split(" ", 1)[0]
    return f"\x1b[{COLOURS[word]}m{word}\x1b[0m{line[len(word) :]}" if word in COLOURS else line


def _cell(value: object) -> str:
    if value is None:
        return "-"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _is_number(text: str) -> bool:
    return text == "-" or text.lstrip("-").replace(".", "", 1).isdigit()
