"""How an arrangement is shown in the terminal: table, picture, score by wish, and what is proven."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from layout.cli.picture import terminal_picture
from layout.project.model.reserved_room import room_places, stand_ins

if TYPE_CHECKING:
    from layout.cli.voice import Voice
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


def tell(voice: Voice, project: Project, arrangement: Arrangement, *, number: int | None = None) -> None:
    """Say one arrangement; with its number where it is one of several."""
    from layout.placing.words import proof_words

    voice.data.setdefault("arrangements", []).append(asdict(arrangement))
    if number is not None:
        voice.line(f"--- {number} {'-' * 70}")
    for key, panel in project.panels.items():
        standing = [placed for placed in arrangement.placed.values() if placed.panel == key]
        voice.line(f"{panel.name or key}: datum at the lower left corner, seen from the front, mm")
        rows = [(project.devices[p.device].name, p.device, p.x, p.y, p.turn) for p in standing]
        kept = [placed for placed in room_places(project, arrangement).values() if placed.panel == key]
        rows += [(stand_ins(project)[p.device].name, p.device.rpartition(".")[2], p.x, p.y, p.turn) for p in kept]
        voice.table(("device", "id", "x", "y", "turn"), rows)
        for line in terminal_picture(project, arrangement, key, fine=voice.is_exact):
            voice.line(line)
        voice.line()
    voice.table(("wish", "cost"), [*arrangement.by_wish.items(), ("all wishes", arrangement.value)])
    voice.line(f"Proven: {proof_words(arrangement)}.")
