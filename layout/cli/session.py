"""What nearly every command begins with: the project file and its register, or exit code 2."""

from __future__ import annotations

import gc
import os
from typing import TYPE_CHECKING, TypeVar

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from layout.cli.voice import Voice
    from layout.findings import Finding
    from layout.project.model.device import Device
    from layout.project.model.project import Project
    from layout.project.register import Register

T = TypeVar("T")

LONGEST_NAME = 255
"""Bytes that file systems take for one name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A project that could be read, and what is remembered of it."""

    path: Path
    project: Project
    register: Register
    findings: tuple[Finding, ...]
    sources: Mapping[str, str]

    @property
    def has_devices_to_place(self) -> bool:
        """Whether any device stands on a panel."""
        return any(device.panel for device in self.project.devices.values())

    def save(self, register: Register, voice: Voice) -> None:
        """Write the register if it is another one; end with code 2 if it can't be written, the old one as it was."""
        from layout.project.register import register_path, save

        is_other = register != self.register
        faults = save(register_path(self.path), register, known=self.register) if is_other else ()
        if faults:
            voice.stop(faults)


def runs_on() -> None:
    """Have what is waste let go again and again: the command that begins is no short one."""
    gc.set_threshold(50_000, 20, 100)


def files_of(path: Path) -> tuple[Path, ...]:
    """Return what commands keep beside a project: its register, the one before, and what was measured."""
    from layout.handover.files.measured_file import measured_path
    from layout.project.register import backup_path, register_path

    register = register_path(path)
    return register, backup_path(register), measured_path(path)


def open_project(path: Path, voice: Voice, *, writes: str = "") -> Session:
    """Read a project and its register; end with code 2, after saying why, if one of them is not usable.

    Parameters
    ----------
    writes
        Name of a command that may write for the project: it holds the project until it ends, so that of two such
        commands none undoes the other. Commands that only read leave it out and never wait.
    """
    from layout.languages import speak
    from layout.project.editing.lock import HeldError, hold
    from layout.project.editing.writing import drop_leftovers
    from layout.project.reading.read import read
    from layout.project.register import load, register_path
    from layout.project.spoken_language import language_of

    if writes:
        try:
            hold(path, f"spile {writes}")
        except HeldError as error:
            voice.refuse(str(error), remedy="wait until it has ended, then run this again", rule="file 96")
    reading = read(path)
    if writes:
        drop_leftovers([*files_of(path), *(path.parent / name for name in reading.sources)])
    if reading.project is None:
        voice.stop(reading.findings, reading.sources)
    speak(language_of(reading.project))
    register, faults = load(register_path(path))
    if register is None:
        voice.stop(faults)
    return Session(
        path=path, project=reading.project, register=register, findings=reading.findings, sources=reading.sources
    )


def device_of(session: Session, name: str, voice: Voice) -> Device:
    """Return a device that stands on a panel; end with code 2, naming the nearest, if there is none of that id."""
    from layout.project.reading.spelling import nearest

    known = [key for key, device in session.project.devices.items() if device.panel]
    if name not in known:
        near = nearest(name, known)
        remedy = f"did you mean '{near}'?" if near else f"known: {', '.join(known) or 'none'}"
        voice.refuse(f"no device of a panel is called '{name}'", remedy=remedy)
    return session.project.devices[name]


def usable_folder(out: Path, voice: Voice) -> None:
    """End with code 2 if documents could not be written to a folder; asked before long work, and nothing is made."""
    there = out
    try:
        while not there.exists() and there != there.parent:
            there = there.parent
    except (OSError, ValueError):
        voice.refuse("that can be no folder's name", remedy="name a shorter --out", rule="file 92")
    if len(out.name.encode()) > LONGEST_NAME:
        voice.refuse("that can be no folder's name", remedy="name a shorter --out", rule="file 92")
    if not there.is_dir():
        voice.refuse(f"'{out}' can't be a folder: '{there}' is a file", remedy="name another --out", rule="file 92")
    if not os.access(there, os.W_OK | os.X_OK):
        voice.refuse(f"nothing can be written to '{out}'", remedy="name another --out", rule="file 92")


def edited(path: Path, key: str, value: object, voice: Voice) -> Path:
    """Set a value in a project's files, or remove it (None); end with code 2 if that can't be done."""
    from layout.project.editing.edit import EditError, edit_project

    try:
        return edit_project(path, key, value)
    except EditError as error:
        voice.refuse(str(error), rule="file 93")
    except OSError as error:
        voice.refuse(f"'{path}' can't be written: {(error.strerror or 'unknown reason').lower()}", rule="file 92")


def written(make: Callable[[], T], out: Path, voice: Voice) -> T:
    """Return what a writing call gives; end with code 2 if the folder can't be written after all."""
    from layout.project.editing.lock import HeldError

    try:
        return make()
    except HeldError as error:
        voice.refuse(str(error), remedy="wait until it has ended, then run this again", rule="file 96")
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        voice.refuse(f"'{out}' can't be written: {reason}", remedy="name another --out", rule="file 92")


def read_csv(file: Path, voice: Voice) -> str:
    """Return the text of a CSV file that the user filled in.

    Raises
    ------
    typer.Exit
        It can't be read, or is not UTF-8 text; code 2.
    """
    try:
        return file.read_text(encoding="utf-8-sig")
    except OSError as error:
        voice.refuse(f"'{file}' can't be read: {(error.strerror or 'unknown reason').lower()}")
    except UnicodeDecodeError:
        voice.refuse(f"'{file}' is not UTF-8 text", remedy="save it as CSV UTF-8")
