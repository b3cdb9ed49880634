"""Benchmarks as JSON with commit and machine; ``python -m tests.benchmarks.record A.json B.json`` compares two.

Seconds are of the processor: they hold on a machine that is busy with other work, seconds on the wall do not.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
OUT = ROOT / "out" / "benchmarks"


def commit() -> str:
    """Return the commit that is measured, with a plus where files are changed since; empty outside a checkout."""

    def git(*words: str) -> str:
        done = subprocess.run(["git", *words], capture_output=True, text=True, cwd=ROOT, check=False)
        return done.stdout.strip()

    return git("rev-parse", "--short=12", "HEAD") + ("+" if git("status", "--porcelain") else "")


def machine() -> dict[str, Any]:
    """Return what the figures depend on besides the program."""
    return {"cores": os.cpu_count(), "python": platform.python_version(), "load": round(os.getloadavg()[0], 1)}


def record(name: str, rows: dict[str, dict[str, float]], *, out: Path = OUT) -> Path:
    """Write the rows of one benchmark, figures by case, and return the file.

    Parameters
    ----------
    name
        Of the benchmark, for example ``wiring``.
    rows
        For each case its figures; the unit is the end of a figure's name (``cpu_s``, ``peak_mb``, ``gap_percent``).
    """
    out.mkdir(parents=True, exist_ok=True)
    file = out / f"{name}-{commit() or 'unknown'}.json"
    whole = {"benchmark": name, "commit": commit(), "machine": machine(), "rows": rows}
    file.write_text(json.dumps(whole, indent=1) + "\n", encoding="utf-8")
    return file


def compared(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Return a line for each figure of two records: case, figure, before, after and their ratio."""
    lines = [f"{before['benchmark']}: {before['commit']} -> {after['commit']}"]
    for case, figures in after["rows"].items():
        for figure, new in figures.items():
            old = before["rows"].get(case, {}).get(figure)
            ratio = f"{new / old:7.2f}" if old else "      -"
            lines.append(f"{case:<40}{figure:<16}{old if old is not None else '-':>12}{new:>12}{ratio}")
    return lines


def main() -> None:
    """Compare two files."""
    before, after = (json.loads(Path(name).read_text(encoding="utf-8")) for name in sys.argv[1:3])
    print("\n".join(compared(before, after)))


if __name__ == "__main__":
    main()
