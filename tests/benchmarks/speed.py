"""Processor seconds and peak memory of the launch's commands; ``python -m tests.benchmarks.speed``.

Each runs in a process of its own, start and imports included, compiled beforehand as an installed program is. The first
build places; the others keep its arrangement, and each has a folder of its own until the last two, which build again.
``--source FOLDER`` measures another checkout, to compare with.
"""

from __future__ import annotations

import argparse
import compileall
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.record import ROOT, record

COMMANDS = {
    "build, nothing placed": ("build", "--out", "first"),
    "check": ("check",),
    "build, arrangement kept": ("build", "--out", "kept"),
    "template": ("template", "--out", "template"),
    "schedule": ("schedule", "--out", "schedule"),
    "build, nothing changed": ("build", "--out", "kept"),
    "build, one load changed": ("build", "--out", "kept"),
}
"""What is typed after the file, in this order."""

CHANGED = "build, one load changed"
LOAD = ("power.yaml", "current: 8 A, continuous", "current: 7.5 A, continuous")
"""The file, what stands in it, and what becomes of it."""


def spent(words: list[str], folder: Path) -> dict[str, float]:
    """Return processor seconds and peak memory of one command.

    Raises
    ------
    SystemExit
        If it ends with another code than 0 or 1.
    """
    with subprocess.Popen(
        [sys.executable, "-m", "layout", *words], cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder / "program")}, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        sys.exit(f"spile {' '.join(words)} ended with {process.returncode}")
    return {"cpu_s": round(usage.ru_utime + usage.ru_stime, 2), "peak_mb": round(usage.ru_maxrss / 1024)}


def main() -> None:
    """Print a table and keep it as JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--source", type=Path, default=ROOT, help="checkout to be measured")
    source = parser.parse_args().source.resolve()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(source / "examples" / "launch", folder / "launch", ignore=shutil.ignore_patterns("*.register*"))
        shutil.copytree(source / "layout", folder / "program" / "layout")
        compileall.compile_dir(folder / "program", quiet=1)
        rows = {}
        for case, (command, *more) in COMMANDS.items():
            if case == CHANGED:
                file, old, new = folder / "launch" / LOAD[0], *LOAD[1:]
                text = file.read_text(encoding="utf-8")
                if old not in text:
                    sys.exit(f"'{old}' no longer stands in {file.name}")
                file.write_text(text.replace(old, new, 1), encoding="utf-8")
            rows[case] = spent([command, "launch/launch.yaml", *more, "--quiet"], folder)
            print(f"{case:<26}{rows[case]['cpu_s']:8.2f} s{rows[case]['peak_mb']:8.0f} MB", flush=True)
    if source == ROOT:
        print(f"kept in {record('speed', rows)}")


if __name__ == "__main__":
    main()
