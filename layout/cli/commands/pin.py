"""``spile pin``: fix a device by hand, in the project file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import FARTHEST_MM, AsJson, DeviceId, ProjectPath, Quiet
from layout.cli.session import device_of, edited, open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.cli.session import Session
    from layout.project.model.device import Device

TURNS = (0, 90, 180, 270)
X = Annotated[float | None, typer.Option("--x", help="Its centre, mm from the datum.", show_default=False)]
Y = Annotated[float | None, typer.Option("--y", help="Likewise, upwards.", show_default=False)]
_Turn = Annotated[int | None, typer.Option("--turn", help="0, 90, 180 or 270 degrees.", show_default=False)]
_Free = Annotated[bool, typer.Option("--free", help="Take its pin away.")]


def pin(
    file: ProjectPath,
    device: DeviceId,
    x: X = None,
    y: Y = None,
    turn: _Turn = None,
    free: _Free = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Fix a device by hand, in the project file.

    It is pinned where it stands in the chosen arrangement, or at a given place. Comments in the file stay.

    Example: spile pin panel.yaml radio --x 120 --y 200
    """
    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="pin")
    declared = device_of(session, device, voice)
    if not all(abs(value) < FARTHEST_MM for value in (x, y) if value is not None):
        voice.refuse("a place is two numbers, mm from the datum", remedy="--x 120 --y 200")
    if turn is not None and turn not in TURNS:
        voice.refuse(f"a device can't turn by {turn} degrees", remedy="0, 90, 180 or 270")
    given = {key: value for key, value in (("x", x), ("y", y), ("turn", turn)) if value is not None}
    if free and given:
        voice.refuse("a pin is either set or taken away", remedy="leave out --free, or the position")
    pinned = None if free else {**_known(declared), **given} if given else _where_it_stands(session, device, voice)
    if pinned is not None:
        _refuse_impossible(session, declared, pinned, voice)
    voice.files([edited(file, f"devices.{device}.pin", pinned, voice)])
    voice.line(f"{device} is free again." if free else f"{device} is pinned.")
    after = open_project(file, voice, writes="pin")
    voice.finish(after.findings, after.sources)


def _known(device: Device) -> dict[str, float | int | str]:
    """Return what a pin says already; a new figure changes that one only."""
    pin = device.pin
    parts = {} if pin is None else {key: getattr(pin, key) for key in ("panel", "x", "y", "turn")}
    return {key: value for key, value in parts.items() if value is not None}


def _refuse_impossible(session: Session, device: Device, pinned: Mapping[str, float | int | str], voice: Voice) -> None:
    """End with code 2 where the device could not stand at its pin even if nothing else were there."""
    from layout.placing.judge import judge, refusals
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import Pin

    pin = Pin(**pinned)  # type: ignore[arg-type]
    panel = pin.panel or (device.panel[0] if len(device.panel) == 1 else None)
    if pin.x is None or pin.y is None or panel is None:
        return
    alone = replace(session.project, devices={device.id: replace(device, pin=pin)})
    turn = device.turns[0] if pin.turn is None else pin.turn
    placed = Placed(device=device.id, panel=panel, x=pin.x, y=pin.y, turn=turn)
    arrangement = Arrangement(placed={device.id: placed})
    broken = [
        finding
        for finding in refusals(judge(alone, arrangement, chosen=None))
        if [subject for subject in finding.subjects if subject.startswith("devices.")] == [f"devices.{device.id}"]
    ]
    if broken:
        voice.refuse(f"{broken[0].message}; nothing is written", remedy=broken[0].remedy or "name another place")


def _where_it_stands(session: Session, device: str, voice: Voice) -> dict[str, float | int | str]:
    chosen = session.register.arrangement
    placed = chosen.placed.get(device) if chosen else None
    if placed is None:
        voice.refuse(f"'{device}' stands nowhere yet", remedy="give --x and --y, or place the project first")
    return {"panel": placed.panel, "x": placed.x, "y": placed.y, "turn": placed.turn}
