"""Write the contact sheet: arrangements side by side, to compare and to choose."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from layout.project.editing.writing import put_into

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


def contact_pages(
    project: Project, arrangements: Sequence[Arrangement], out: Path | str, *, lines: Sequence[str] = ()
) -> tuple[Path, ...]:
    """Write ``contact-sheet.pdf`` and one SVG a sheet, and return them in order.

    Parameters
    ----------
    arrangements
        Numbered from 1 in the order given.
    out
        Folder; made if it is not there.
    lines
        More to say on the sheet: how many arrangements are known.

    Raises
    ------
    ValueError
        There is no arrangement, or a text has a character that the font lacks.
    OSError
        The folder can't be written to; files written before are whole.
    """
    from layout.drawing.contact.contact_sheet import contact_sheet as drawn
    from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
    from layout.drawing.writers.svg import svg_text
    from layout.handover.paper.paper_choice import series_of

    head = project.project
    scenes = drawn(
        project,
        arrangements,
        differences=contact_differences(project, arrangements),
        lines=lines,
        series=series_of(project),
    )
    info = DocumentInfo(title=f"{head.name}: alternatives", revision=head.revision, subject="contact sheet")
    files = [("contact-sheet.pdf", pdf_bytes(scenes, info))]
    for number, scene in enumerate(scenes, start=1):
        name = "contact-sheet.svg" if len(scenes) == 1 else f"contact-sheet-{number}.svg"
        files.append((name, svg_text(scene).encode("utf-8")))
    return put_into(out, files)


def contact_differences(project: Project, arrangements: Sequence[Arrangement]) -> tuple[tuple[float, ...], ...]:
    """Return the share, by size, of the things that stand elsewhere in every two; nothing for a single one."""
    from layout.placing.diversity import difference, kind_of

    count = len(arrangements)
    if count < 2:
        return ()
    kinds = [kind_of(project, one) for one in arrangements]
    table = [[0.0] * count for _ in range(count)]
    for i, j in combinations(range(count), 2):
        table[i][j] = table[j][i] = difference(kinds[i], kinds[j])
    return tuple(tuple(row) for row in table)
