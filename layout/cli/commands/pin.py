"""``spile pin``: fix a device by hand, in the project file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import AsJson, DeviceId, ProjectFile, Quiet
from layout.cli.session import device_of, edited, open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.cli.session import Session

TURNS = (0, 90, 180, 270)
X = Annotated[float | None, typer.Option("--x", help="Its centre, mm from the datum.", show_default=False)]
Y = Annotated[float | None, typer.Option("--y", help="Likewise, upwards.", show_default=False)]
Turn = Annotated[int | None, typer.Option("--turn", help="0, 90, 180 or 270 degrees.", show_default=False)]
Free = Annotated[bool, typer.Option("--free", help="Take its pin away.")]


def pin(
    file: ProjectFile,
    device: DeviceId,
    x: X = None,
    y: Y = None,
    turn: Turn = None,
    free: Free = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Fix a device by hand, in the project file.

    It is pinned where it stands in the chosen arrangement, or at a given place. Comments in the file stay.

    Example: spile pin panel.yaml radio --x 120 --y 200
    """
    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="pin")
    device_of(session, device, voice)
    if turn is not None and turn not in TURNS:
        voice.refuse(f"a device can't turn by {turn} degrees", remedy="0, 90, 180 or 270")
    given = {key: value for key, value in (("x", x), ("y", y), ("turn", turn)) if value is not None}
    if free and given:
        voice.refuse("a pin is either set or taken away", remedy="leave out --free, or the position")
    pinned = None if free else given or _where_it_stands(session, device, voice)
    voice.files([edited(file, f"devices.{device}.pin", pinned, voice)])
    voice.line(f"{device} is free again." if free else f"{device} is pinned.")
    after = open_project(file, voice, writes="pin")
    voice.finish(after.findings, after.sources)


def _where_it_stands(session: Session, device: str, voice: Voice) -> dict[str, float | int | str]:
    chosen = session.register.arrangement
    placed = chosen.placed.get(device) if chosen else None
    if placed is None:
        voice.refuse(f"'{device}' stands nowhere yet", remedy="give --x and --y, or place the project first")
    return {"panel": placed.panel, "x": placed.x, "y": placed.y, "turn": placed.turn}
