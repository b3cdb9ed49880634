"""One writer at a time: a lock on a project that ends with the process that holds it, however that ends."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from filelock import BaseFileLock

_PATIENCE_S = 10.0
"""How long a command waits for another one to end, before it says who holds the project; it changes no result."""


class HeldError(Exception):
    """Another process is writing for this project; the text says which."""


_HELD: dict[Path, BaseFileLock] = {}


def hold(project: Path, command: str) -> None:
    """Hold a project for writing, until ``release`` or the end of the process; a second time changes nothing.

    Readers never ask for it. The lock lies in the system's folder for temporary files, so that none is left beside the
    project. Where there is no such folder, and between machines that share a disk, only the comparison before the
    register is written keeps two commands apart (``register.save``).

    Raises
    ------
    HeldError
        If another process holds it for longer than the patience lasts.
    """
    path = lock_path(project)
    if path not in _HELD:
        lock = _locked(project, command)
        if lock is not None:
            _HELD[path] = lock


@contextmanager
def held_lock(folder: Path, command: str) -> Iterator[None]:
    """Hold a folder of documents while they are written.

    Raises
    ------
    HeldError
        If another process holds it for longer than the patience lasts.
    """
    lock = _locked(folder, command)
    try:
        yield
    finally:
        if lock is not None:
            lock.release()


def _locked(held: Path, command: str) -> BaseFileLock | None:
    from filelock import FileLock, Timeout  # only commands that write need it

    path = lock_path(held)
    who = path.with_suffix(".json")
    lock = FileLock(path, mode=0o666)
    try:
        if not path.parent.exists():
            path.parent.mkdir(parents=True)
            path.parent.chmod(0o1777)  # as the folder around it: every user of the machine may lock
        lock.acquire(timeout=_PATIENCE_S)
    except Timeout:
        raise HeldError(f"'{held.name}' is being written by {_holder(who)}") from None
    except OSError:
        return None
    with suppress(OSError):
        who.write_text(json.dumps({"command": command, "process": os.getpid()}), encoding="utf-8")
    return lock


def release() -> None:
    """Let go of every project that this process holds."""
    while _HELD:
        _, lock = _HELD.popitem()
        lock.release()


def lock_path(project: Path) -> Path:
    """Return where the lock of a project lies."""
    mark = hashlib.sha256(os.fsencode(os.path.realpath(project))).hexdigest()[:24]
    try:
        folder = tempfile.gettempdir()
    except FileNotFoundError:  # none that takes a file
        folder = os.devnull  # nothing lies in it, so nothing is locked
    return Path(folder) / "spile-locks" / f"{mark}.lock"


def _holder(who: Path) -> str:
    try:
        told = json.loads(who.read_text(encoding="utf-8"))
        return f"'{told['command']}' (process {told['process']})"
    except (OSError, ValueError, KeyError, TypeError):
        return "another command"
