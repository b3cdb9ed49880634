"""Single pages that belong to no pack: the print check, and one device's own template."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.handover.files.file_names import plain_name
from layout.project.editing.writing import put_into

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from layout.drawing.elements.scene import Scene
    from layout.project.model.project import Project


def printcheck_sheet(paper: str, out: Path | str) -> Path:
    """Write the page that a printer's scale is measured on.

    Raises
    ------
    ValueError
        If no paper has that name.
    OSError
        If the folder can't be written.
    """
    from layout.drawing.paper.printcheck import printcheck_scene

    return _written([printcheck_scene(paper)], f"printcheck-{paper}.pdf", "Print check", out)


def mark_sheets(paper: str, out: Path | str) -> Path:
    """Write the sheets with marks that are laid beside a thing before it is photographed.

    Raises
    ------
    ValueError
        If no paper has that name, or the marks do not fit on it.
    OSError
        If the folder can't be written.
    """
    from layout.trace.sheet import mark_scenes

    return _written(mark_scenes(paper), f"marks-{paper}.pdf", "Sheets with marks", out)


def overlay_sheet(project: Project, device: str, out: Path | str) -> Path:
    """Write one device's own template, to lay over its maker's paper.

    Raises
    ------
    KeyError, ValueError
        If the project has no such device, or the device has no face.
    OSError
        If the folder can't be written.
    """
    from layout.drawing.panel.overlay import overlay_scene

    name = project.devices[device].name or device
    return _written([overlay_scene(project, device)], f"overlay-{plain_name(device)}.pdf", f"Template of {name}", out)


def _written(scenes: Sequence[Scene], file: str, title: str, out: Path | str) -> Path:
    return put_into(out, [(file, pdf_bytes(scenes, DocumentInfo(title=title)))])[0]
