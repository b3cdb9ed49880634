"""``spile fits``: where one more device would go."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.arrangement_lines import tell
from layout.cli.options import AsJson, ProjectPath, Quiet, Seed
from layout.cli.session import open_project
from layout.cli.voice import Voice
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.cli.session import Session
    from layout.placing.fits import Fits, FreeSpot
    from layout.project.model.device import Device

_What = Annotated[
    str, typer.Argument(metavar="WHAT", help="Size as 240x160 (mm), or a type of device.", show_default=False)
]


PanelId = Annotated[str, typer.Option("--panel", metavar="PANEL", help="Look on this panel only.")]


def fits(
    file: ProjectPath, what: _What, panel: PanelId = "", seed: Seed = 1, as_json: AsJson = False, quiet: Quiet = False
) -> None:
    """Say where one more device would fit.

    That is in the chosen arrangement, without moving anything, or with the fewest moves. WHAT is the size of its face,
    or a type from the project's shelf or the catalogue, whose depth then counts too.

    Example: spile fits panel.yaml 240x160
    """
    from layout.placing.blanks import free_rectangles
    from layout.placing.fits import fits as look
    from layout.placing.judge import judge, refusals

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    chosen = session.register.arrangement
    if not session.project.panels:
        voice.refuse("the project has no panel", remedy="write panels first")
    if chosen is None:
        voice.refuse("nothing is placed yet", remedy=f"run: spile arrange {file}")
    device = _device(session, what, voice)
    if panel:
        if panel not in session.project.panels:
            voice.refuse(f"no panel is called '{panel}'", remedy=f"known: {', '.join(session.project.panels)}")
        device = replace(device, panel=(panel,))
    broken = refusals(judge(session.project, chosen, chosen=chosen))
    voice.data["holds"] = not broken
    if broken:
        rules = "one rule" if len(broken) == 1 else f"{len(broken)} rules"
        voice.line(f"First: the chosen arrangement breaks {rules} as it is; what follows takes it as it stands.")
        voice.line(f"  {broken[0].message}{' ...' if len(broken) > 1 else ''}")
    voice.progress("looking for room")
    found = look(session.project, chosen, device, seed=seed)
    _tell(voice, session, found)
    free = free_rectangles(session.project, chosen)
    voice.data["free"] = [
        {"panel": one.panel, "layer": str(one.layer), "at": [one.x0, one.y0], "size": [one.width, one.height]}
        for one in free
    ]
    voice.line("Largest free rectangles, before gaps and edges are taken off, mm:")
    voice.table(
        ("panel", "layer", "x", "y", "width", "height"),
        [(one.panel, one.layer, one.x0, one.y0, one.width, one.height) for one in free],
    )
    voice.finish((*broken, *found.findings), session.sources)


def _device(session: Session, what: str, voice: Voice) -> Device:
    from layout.placing.fits import NEW, of_size
    from layout.project.reading.read import read

    size = re.fullmatch(r"(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)", what.lower().removesuffix("mm").strip())
    if size:
        width, height = (float(number) for number in size.groups())
        if min(width, height) <= 0:
            voice.refuse(f"'{what}' is no size", remedy="both sides are more than 0 mm")
        return of_size(session.project, width, height)
    reading = read(session.path, more={NEW: what})
    if reading.project is None:
        voice.stop([one for one in reading.findings if one not in session.findings], reading.sources)
    return reading.project.devices[NEW]


def _tell(voice: Voice, session: Session, found: Fits) -> None:
    name = found.device.name or found.device.id
    voice.data["spots"] = [_as_data(spot) for spot in found.spots]
    voice.data["given_up"] = {room: [_as_data(spot) for spot in spots] for room, spots in found.given_up.items()}
    voice.data["movers"] = list(found.movers)
    if found.spots:
        voice.line(f"{name} fits without moving anything; its centre, mm from the datum:")
        _spots(voice, found.spots)
    for room, spots in found.given_up.items():
        voice.line(f"{name} fits if {stand_ins(session.project)[room].name} is given up:")
        _spots(voice, spots)
    if found.moved is not None:
        proven = "no fewer moves will do" if found.fewest else "whether fewer moves would do is not proven"
        voice.line(f"{name} fits with {len(found.movers)} moved; {proven}:")
        more = {**session.project.devices, found.device.id: found.device}
        tell(voice, replace(session.project, devices=more), found.moved)
    elif not found.spots and not found.given_up:
        voice.line(f"No place was found for {name}.")


def _spots(voice: Voice, spots: Sequence[FreeSpot]) -> None:
    voice.table(
        ("panel", "x", "y", "turn", "x from", "to", "y from", "to"),
        [(s.placed.panel, s.placed.x, s.placed.y, s.placed.turn, s.x0, s.x1, s.y0, s.y1) for s in spots],
    )


def _as_data(spot: FreeSpot) -> dict[str, object]:
    placed = spot.placed
    return {
        "panel": placed.panel, "x": placed.x, "y": placed.y, "turn": placed.turn, "from": [spot.x0, spot.y0],
        "to": [spot.x1, spot.y1],
    }  # fmt: skip
