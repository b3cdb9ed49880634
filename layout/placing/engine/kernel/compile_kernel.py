"""Build anneal.wasm from its source, or compare the kept file with a fresh build.

``python layout/placing/engine/kernel/compile_kernel.py`` writes the file; ``--check`` only compares and exits
with 1 when the bytes differ. Needs the pip package ``ziglang`` in the pinned version.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from importlib import metadata
from pathlib import Path

KERNEL_DIR = Path(__file__).parent
PINNED = "0.17.1"
"""Version of ``ziglang`` whose output is kept; another one may give other bytes."""

FLAGS = (
    *("-target", "wasm32-freestanding", "-mcpu=baseline", "-O3", "-nostdlib", "-Wall", "-Wextra", "-Werror"),
    *("-Wl,--no-entry", "-Wl,--strip-all"),
)


def compile_kernel(target: Path) -> None:
    """Compile the kernel into ``target``."""
    command = [sys.executable, "-m", "ziglang", "cc", *FLAGS, "-o", str(target), "anneal.c"]
    subprocess.run(command, cwd=KERNEL_DIR, check=True)


def main(argv: list[str]) -> int:
    """Build or compare; returns the exit code."""
    version = metadata.version("ziglang")
    if not version.startswith(PINNED):
        sys.stderr.write(f"ziglang {PINNED} is needed, {version} is installed\n")
        return 2
    kept = KERNEL_DIR / "anneal.wasm"
    if "--check" not in argv:
        compile_kernel(kept)
        return 0
    with tempfile.TemporaryDirectory() as folder:
        fresh = Path(folder) / "anneal.wasm"
        compile_kernel(fresh)
        same = fresh.read_bytes() == kept.read_bytes()
    sys.stderr.write("anneal.wasm is what its source gives\n" if same else "anneal.wasm differs from a fresh build\n")
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
