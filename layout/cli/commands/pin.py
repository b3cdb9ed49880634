"""``spile pin``: fix a device by hand, in the project file."""

from __future__ import annotations

from typing import Annotated

import typer

from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def pin(
    file: ProjectFile,
    device: Annotated[str, typer.Argument(metavar="DEVICE", help="Id of the device.")],
    x: Annotated[float | None, typer.Option("--x", help="Its centre, mm from the datum; else where it stands.")] = None,
    y: Annotated[float | None, typer.Option("--y", help="Likewise, upwards.")] = None,
    turn: Annotated[int | None, typer.Option("--turn", help="0, 90, 180 or 270 degrees.")] = None,
    free: Annotated[bool, typer.Option("--free", help="Take its pin away.")] = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Pin a device where it stands in the chosen arrangement, or at a given place; comments in the file stay.

    Example: spile pin panel.yaml radio --x 120 --y 200
    """
    from layout.project.edit import EditError, edit_project  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    if device not in session.project.devices:
        raise typer.BadParameter(f"the project has no device '{device}'", param_hint="DEVICE")
    chosen = session.register.arrangement
    stands = chosen.placed.get(device) if chosen else None
    value: dict[str, float | int | str] | None = None
    if not free:
        given = {"x": x, "y": y, "turn": turn}
        value = {key: number for key, number in given.items() if number is not None}
        if not value:
            if stands is None:
                raise typer.BadParameter("it stands nowhere yet; give --x and --y", param_hint="DEVICE")
            value = {"panel": stands.panel, "x": stands.x, "y": stands.y, "turn": stands.turn}
    try:
        changed = edit_project(file, f"devices.{device}.pin", value)
    except EditError as error:
        raise typer.BadParameter(str(error), param_hint="FILE") from None
    voice.files([changed])
    voice.line(f"{device} is free again." if free else f"{device} is pinned.")
    after = open_project(file, voice)
    code = voice.findings(after.findings, after.sources)
    voice.done()
    raise typer.Exit(code)
