"""``spile move`` and ``spile undo``: one device put elsewhere at once, and the arrangement before brought back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.arrangement_lines import tell
from layout.cli.options import FARTHEST_MM, AsJson, DeviceId, ProjectPath, Quiet
from layout.cli.session import device_of, edited, open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.cli.session import Session
    from layout.geometry.box import Point
    from layout.project.model.arrangement import Arrangement

_LINES = ("left", "right", "bottom", "top", "centre", "middle")
By = Annotated[str, typer.Option("--by", metavar="DX,DY", help="How far, mm; right and up are more.")]
To = Annotated[str, typer.Option("--to", metavar="X,Y", help="Where its centre goes, mm from the datum.")]
_Align = Annotated[
    tuple[str, str],
    typer.Option("--align", metavar="LINE OTHER", help=f"Line of its face on another's: {', '.join(_LINES)}."),
]


def move(
    file: ProjectPath,
    device: DeviceId,
    by: By = "",
    to: To = "",
    align: _Align = ("", ""),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Move one device at once, if all rules hold there.

    The chosen arrangement in the register is changed, and the device's pin in the project file if it has one, so that
    the next build takes it. Where a rule would be broken it is said, and nothing is written.

    Example: spile move panel.yaml radio --by 5,0
    """
    from layout.placing.given_positions import is_cut
    from layout.placing.move import move as moved_to

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="move")
    declared = device_of(session, device, voice)
    chosen = _chosen(session, device, voice)
    if is_cut(session.project, declared):
        voice.refuse(
            f"the hole of '{device}' is cut, so it stays where it is", remedy="say work_state: planned if it is not"
        )
    at = _where(session, chosen, device, (by, to, align), voice)
    moved = moved_to(session.project, chosen, device, at)
    voice.data["placed"] = {"device": device, "x": at[0], "y": at[1]}
    voice.data["moved"] = not moved.broken
    if moved.broken:
        voice.line(f"{device} stays where it is: at ({at[0]:g}, {at[1]:g}) {_count(len(moved.broken))} broken.")
        voice.finish(moved.broken, session.sources)
    pin = moved.project.devices[device].pin
    if pin is not None and pin != declared.pin:
        said = {key: value for key in ("panel", "x", "y", "turn") if (value := getattr(pin, key)) is not None}
        edited(file, f"devices.{device}.pin", said, voice)
    session.save(session.register.with_arrangement(moved.arrangement), voice)
    gain = moved.arrangement.value - chosen.value
    told = "" if not chosen.by_wish else f"; its wishes cost {abs(gain):g} {'more' if gain > 0 else 'less'}"
    voice.line(f"{device} is at ({at[0]:g}, {at[1]:g}) now{told if gain else ''}. To take it back: spile undo {file}")
    voice.finish((*session.findings, *moved.findings), session.sources)


def undo(file: ProjectPath, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Bring back the arrangement that was chosen before.

    Pins that a move took along go back with it. The register keeps the last few.

    Example: spile undo panel.yaml
    """
    from layout.placing.judge import judge

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="undo")
    now, register = session.register.arrangement, session.register.before()
    if now is None or register is None or register.arrangement is None:
        voice.refuse("the register has no arrangement from before", remedy="place the project, or choose a proposal")
    back = register.arrangement
    for key, declared in session.project.devices.items():
        was, there, pin = back.placed.get(key), now.placed.get(key), declared.pin
        if pin is None or was is None or there is None or (was.x, was.y) == (there.x, there.y):
            continue
        followed = {axis for axis in ("x", "y") if getattr(pin, axis) == getattr(there, axis)}
        said = {axis: getattr(was if axis in followed else pin, axis) for axis in ("panel", "x", "y", "turn")}
        said["panel"] = pin.panel
        said["turn"] = pin.turn
        if followed:
            edited(
                file, f"devices.{key}.pin", {axis: value for axis, value in said.items() if value is not None}, voice
            )
    session.save(register, voice)
    after = open_project(file, voice, writes="undo")
    tell(voice, after.project, back)
    voice.finish((*after.findings, *judge(after.project, back, chosen=back)), after.sources)


def _chosen(session: Session, device: str, voice: Voice) -> Arrangement:
    chosen = session.register.arrangement
    if chosen is None or device not in chosen.placed:
        voice.refuse(f"'{device}' stands nowhere yet", remedy=f"run: spile arrange {session.path}")
    return chosen


def _where(
    session: Session, chosen: Arrangement, device: str, ways: tuple[str, str, tuple[str, str]], voice: Voice
) -> Point:
    """Return where a device is to go, by the one way that is given."""
    from layout.placing.move import aligned_at

    by, to, (line, other) = ways
    if sum(map(bool, (by, to, line))) != 1:
        voice.refuse("a move is said in one way", remedy="--by 5,0 or --to 120,85 or --align left OTHER")
    placed = chosen.placed[device]
    if by:
        dx, dy = _pair(by, voice)
        return round(placed.x + dx, 6), round(placed.y + dy, 6)
    if to:
        return _pair(to, voice)
    if line not in _LINES:
        voice.refuse(f"'{line}' is no line of a face", remedy=f"one of {', '.join(_LINES)}")
    device_of(session, other, voice)
    _chosen(session, other, voice)
    if chosen.placed[other].panel != placed.panel:
        voice.refuse(f"'{other}' stands on another panel than '{device}'", remedy="name one of the same panel")
    return aligned_at(session.project, chosen, device, line, other)  # type: ignore[arg-type]


def _pair(text: str, voice: Voice) -> Point:
    parts = text.removesuffix("mm").split(",")
    try:
        x, y = (float(part) for part in parts)
        if not (abs(x) < FARTHEST_MM and abs(y) < FARTHEST_MM):
            raise ValueError
    except ValueError:
        voice.refuse(f"'{text}' is no pair of lengths", remedy="two numbers in mm with a comma: 5,0")
    return x, y


def _count(many: int) -> str:
    return "a rule is" if many == 1 else f"{many} rules are"
