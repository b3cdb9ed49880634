"""What nearly every command begins with: the project file and its register, or exit code 2."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

import typer

from layout.cli.options import UNUSABLE

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from layout.cli.voice import Voice
    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.project.register import Register


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A project that could be read, and what is remembered of it."""

    path: Path
    project: Project
    register: Register
    findings: tuple[Finding, ...]
    sources: Mapping[str, str]

    def remember(self, register: Register, voice: Voice) -> None:
        """Write the register.

        Raises
        ------
        typer.Exit
            With code 2 if it can't be written; the old one is as it was.
        """
        from layout.project.register import register_path, save  # noqa: PLC0415

        faults = save(register_path(self.path), register)
        if faults:
            _stop(voice, faults, {})


def open_project(path: Path, voice: Voice) -> Session:
    """Read a project and its register.

    Raises
    ------
    typer.Exit
        With code 2, after saying why, if one of them is not usable.
    """
    from layout.project.read import read  # noqa: PLC0415
    from layout.project.register import load, register_path  # noqa: PLC0415

    reading = read(path)
    if reading.project is None:
        _stop(voice, reading.findings, reading.sources)
    register, faults = load(register_path(path))
    if register is None:
        _stop(voice, faults, {})
    return Session(
        path=path, project=reading.project, register=register, findings=reading.findings, sources=reading.sources
    )


def _stop(voice: Voice, findings: tuple[Finding, ...], sources: Mapping[str, str]) -> NoReturn:
    voice.findings(findings, sources)
    voice.done()
    raise typer.Exit(UNUSABLE)
