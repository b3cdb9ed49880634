"""Processor seconds and peak memory of the launch's commands; ``python -m tests.benchmarks.speed``.

Each runs in a process of its own, start and imports included. The first build places; the others keep its arrangement.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.record import ROOT, record

COMMANDS = {
    "build, nothing placed": ("build", "--out", "out"),
    "check": ("check",),
    "build, arrangement kept": ("build", "--out", "out"),
    "template": ("template", "--out", "out"),
    "schedule": ("schedule", "--out", "out"),
}
"""What is typed after the file, in this order."""


def spent(words: list[str], folder: Path) -> dict[str, float]:
    """Return processor seconds and peak memory of one command.

    Raises
    ------
    SystemExit
        If it ends with another code than 0 or 1.
    """
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, "-m", "layout", *words], cwd=folder, env=environment, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        sys.exit(f"spile {' '.join(words)} ended with {process.returncode}")
    return {"cpu_s": round(usage.ru_utime + usage.ru_stime, 2), "peak_mb": round(usage.ru_maxrss / 1024)}


def main() -> None:
    """Print a table and keep it as JSON."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "examples" / "launch", folder / "launch")
        rows = {}
        for case, (command, *more) in COMMANDS.items():
            rows[case] = spent([command, "launch/launch.yaml", *more, "--quiet"], folder)
            print(f"{case:<26}{rows[case]['cpu_s']:8.2f} s{rows[case]['peak_mb']:8.0f} MB", flush=True)
    print(f"kept in {record('speed', rows)}")


if __name__ == "__main__":
    main()
