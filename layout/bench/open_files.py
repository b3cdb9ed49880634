"""The files of one project that is open: read again when another program writes them, written under the lock."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.bench.history import History, OvertakenError
from layout.light_dataclass import dataclass
from layout.project.editing.edit import EditError
from layout.project.editing.lock import HeldError, hold, release
from layout.project.editing.writing import write_atomically
from layout.project.reading.read import read
from layout.project.reading.stamps import Stamp, stamps
from layout.project.register import Register, load, register_path, save

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from layout.findings import Finding
    from layout.project.model.project import Project


class RefusedError(Exception):
    """What was asked for can't be done; the text says why, and nothing was written."""


@dataclass(slots=True)
class _Read:
    """The project as it was read last."""

    project: Project
    register: Register
    findings: tuple[Finding, ...]
    files: tuple[str, ...]
    stamps: tuple[Stamp, ...]


class OpenFiles:
    """One project's files, with what was done to them.

    Attributes
    ----------
    version
        Grows with everything that is different from before, on disk or on the bench.

    Raises
    ------
    RefusedError
        If the project or its register can't be used.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.history = History.of(path)
        self.version = 0
        self._unread: tuple[tuple[Stamp, ...], str] | None = None
        self._read = self._open()

    @property
    def project(self) -> Project:
        """The project as the files say it."""
        return self._read.project

    @property
    def register(self) -> Register:
        """What is remembered: the chosen arrangement, proposals, numbers."""
        return self._read.register

    def renew(self) -> bool:
        """Take over what another program has written to the files since; tell whether there was anything.

        Raises
        ------
        RefusedError
            If the files can't be read as they are now; what was read before stays until they can.
        """
        now = stamps(self.path.parent, self._read.files)
        if now == self._read.stamps:
            return False
        if self._unread is None or self._unread[0] != now:
            try:
                self._read, self._unread = self._open(), None
            except RefusedError as error:
                self._unread = (now, str(error))
        if self._unread is not None:
            raise RefusedError(self._unread[1])
        self._changed()
        return True

    def _open(self, *, known: _Read | None = None) -> _Read:
        """Read the files; what was read of the project before is ``known``, and holds where its files are the same."""
        beside = register_path(self.path).name
        if known is not None:
            now = stamps(self.path.parent, known.files)
            if any(stamp != before and stamp[0] != beside for stamp, before in zip(now, known.stamps, strict=True)):
                known = None
        if known is None:
            reading = read(self.path)
            if reading.project is None:
                raise RefusedError("; ".join(str(finding) for finding in reading.findings[:3]))
            files = tuple(dict.fromkeys((*reading.sources, beside)))
            known = _Read(reading.project, Register(), reading.findings, files, ())
        stamped = stamps(self.path.parent, known.files)
        register, faults = load(register_path(self.path))
        if register is None:
            raise RefusedError("; ".join(str(finding) for finding in faults[:3]))
        return replace(known, register=register, stamps=stamped)

    def _changed(self) -> None:
        self.version += 1

    def write(self, words: str, change: Callable[[], object]) -> None:
        """Change files under the lock, as one thing done; if the change fails, all of them stand as before."""
        try:
            hold(self.path, "spile bench")
        except HeldError as error:
            raise RefusedError(str(error)) from None
        files = self._read.files
        before = self.history.texts(files)
        try:
            change()
            self.history.add(words, before, self.history.texts(files))
        except (EditError, OSError) as error:
            self._restore(before)
            raise RefusedError(str(error)) from None
        except RefusedError:
            self._restore(before)
            raise
        finally:
            release()
            self._read = self._open(known=self._read)
            self._changed()

    def _restore(self, texts: Mapping[str, str | None]) -> None:
        for name, text in texts.items():
            path = self.path.parent / name
            if text is not None and path.read_bytes().decode() != text:
                write_atomically(path, text)

    def save(self, words: str, register: Register) -> None:
        """Write the register, as one thing done."""
        self.write(words, lambda: self.put_register(register))

    def put_register(self, register: Register) -> None:
        """Write the register, as a part of something done."""
        faults = save(register_path(self.path), register, known=self._read.register)
        if faults:
            raise RefusedError(faults[0].message)

    def _step(self, step: Callable[[], object]) -> None:
        try:
            hold(self.path, "spile bench")
            step()
        except HeldError as error:
            raise RefusedError(str(error)) from None
        except IndexError:
            raise RefusedError("nothing is left to take back or do again") from None
        except OvertakenError as error:
            raise RefusedError(str(error)) from None
        finally:
            release()
        self._read = self._open()
        self._changed()
