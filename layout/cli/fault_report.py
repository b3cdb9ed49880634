"""A fault of spile itself: one calm sentence, and a report file that holds nothing of the user's unless allowed."""

from __future__ import annotations

import os
import platform
import tempfile
import traceback
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

ALLOW = "SPILE_REPORT_DATA"
"""Set to 1, the report also holds the words of the command and the text of the fault, which may tell of the project."""

REPORT_NAME = "spile-fault.txt"
PACKAGE = Path(__file__).resolve().parents[2]


def write_report(fault: BaseException, words: Sequence[str]) -> Path | None:
    """Write what happened beside the user, or into the folder for temporary files; None if neither can be written.

    Parameters
    ----------
    fault
        What was raised; its text is left out unless the user allows it, and so is every path outside the program.
    words
        The command's words; only the command itself is told, unless the user allows more.
    """
    text = "\n".join([*_head(words), *_steps(fault)]) + "\n"
    for folder_of in (Path.cwd, tempfile.gettempdir):
        try:
            file = Path(folder_of()) / REPORT_NAME
            file.write_text(text, encoding="utf-8")
        except OSError:
            continue
        return file
    return None


def sentence(path: Path | None) -> str:
    """Return what is said to the user."""
    said = "This is a fault of spile, not of your project; no file of yours is half written."
    return f"{said} What happened stands in {path}; please send it as SECURITY.md says." if path else said


def _head(words: Sequence[str]) -> list[str]:
    try:
        ours = version("spile")
    except PackageNotFoundError:
        ours = "unknown"
    said = " ".join(words) if _allowed() else next((word for word in words if not word.startswith("-")), "")
    return [
        f"spile {ours}, Python {platform.python_version()}, {platform.system()} {platform.machine()}",
        f"command: {said}",
        f"words and texts of the project are left out; set {ALLOW}=1 to put them in" if not _allowed() else "",
    ]


def _steps(fault: BaseException) -> list[str]:
    if _allowed():
        return traceback.format_exception(fault)
    lines: list[str] = []
    here: BaseException | None = fault
    while here is not None:
        steps = traceback.extract_tb(here.__traceback__)
        lines += [f"  {_place(step.filename)}:{step.lineno} in {step.name}" for step in steps]
        lines.append(type(here).__name__)
        here = here.__cause__ or here.__context__
    return lines


def _place(file: str) -> str:
    path = Path(file)
    if path.is_relative_to(PACKAGE):
        return path.relative_to(PACKAGE).as_posix()
    return path.name


def _allowed() -> bool:
    return os.environ.get(ALLOW) == "1"
