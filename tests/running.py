"""Run the command ``spile`` inside the test's own process, or in one of its own."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a command did: its exit code and what it wrote."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """The one JSON object on standard output."""
        return json.loads(self.out)

    @property
    def rules(self) -> list[str]:
        """Codes of the findings in the JSON object, in their order."""
        return [finding["rule"] for finding in self.data["findings"]]


def spile(*words: object) -> Ran:
    """Run a command here and now."""
    from layout.cli.main import app

    code = 0
    with redirect_stdout(io.StringIO()) as out, redirect_stderr(io.StringIO()) as err:
        try:
            app([str(word) for word in words], prog_name="spile")
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
    return Ran(code=code, out=out.getvalue(), err=err.getvalue())


def python(*words: object, hash_seed: str = "0", cwd: Path = ROOT) -> Ran:
    """Run Python in a process of its own, with a seed for its hashes; ``-m layout`` is the command."""
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, *map(str, words)], capture_output=True, text=True, cwd=cwd, env=environment, check=False
    )
    return Ran(code=done.returncode, out=done.stdout, err=done.stderr)
