"""What a command says: data to standard output, findings and progress to standard error."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from layout.cli.options import ERRORS, FINE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from layout.findings import Finding


@dataclass(slots=True)
class Voice:
    """Collects what one command has to say and renders it once, for people or for programs.

    Attributes
    ----------
    as_json
        One JSON object on standard output at the end, nothing else.
    quiet
        Findings only.
    """

    as_json: bool = False
    quiet: bool = False
    data: dict[str, Any] = field(default_factory=dict)
    _live: bool = False

    def line(self, text: str = "") -> None:
        """Say one line of the result."""
        if not (self.as_json or self.quiet):
            self._end_progress()
            sys.stdout.write(text + "\n")

    def table(self, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """Say a table with columns as wide as they need; numbers stand to the right."""
        texts = [[_cell(cell) for cell in row] for row in rows]
        widths = [max(len(row[i]) for row in [list(head), *texts]) for i in range(len(head))]
        right = [all(_is_number(row[i]) for row in texts) and bool(texts) for i in range(len(head))]
        for row in [list(head), ["-" * width for width in widths], *texts]:
            cells = [c.rjust(w) if r else c.ljust(w) for c, w, r in zip(row, widths, right, strict=True)]
            self.line("  ".join(cells).rstrip())

    def progress(self, text: str) -> None:
        """Show one line that the next one replaces; only where a person is watching."""
        if not (self.as_json or self.quiet) and sys.stderr.isatty():
            sys.stderr.write(f"\r\033[K{text}")
            sys.stderr.flush()
            self._live = True

    def findings(self, findings: Sequence[Finding], sources: Mapping[str, str] | None = None) -> int:
        """Report findings and return the exit code they ask for."""
        from layout.findings import as_json, as_lines, has_errors  # noqa: PLC0415

        self._end_progress()
        if self.as_json:
            self.data["findings"] = as_json(findings)
        else:
            for line in as_lines(findings, sources=sources):
                sys.stderr.write(line + "\n")
        return ERRORS if has_errors(findings) else FINE

    def files(self, files: Sequence[Path]) -> None:
        """Say which files were written."""
        self.data["files"] = [str(file) for file in files]
        for file in files:
            self.line(f"  {file}")

    def done(self) -> None:
        """End: print the JSON object, if that is what was asked for."""
        self._end_progress()
        if self.as_json:
            sys.stdout.write(json.dumps(self.data, indent=2, ensure_ascii=False) + "\n")

    def _end_progress(self) -> None:
        if self._live:
            sys.stderr.write("\r\033[K")
            self._live = False


def _cell(value: object) -> str:
    if value is None:
        return "-"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _is_number(text: str) -> bool:
    return text == "-" or text.lstrip("-").replace(".", "", 1).isdigit()
