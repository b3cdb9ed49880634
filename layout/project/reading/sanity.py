"""Faults that the typed project shows by itself: one function a rule, listed in the table at the end."""

from __future__ import annotations

from string import Formatter
from typing import TYPE_CHECKING, Any

from layout.languages.catalogue import shipped_languages
from layout.project.reading import declared_shapes
from layout.project.reading.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from layout.findings import Finding
    from layout.geometry.path import Path
    from layout.project.model.project import Project

    Paths = Mapping[str, Path]
    SanityRule = Callable[[Project, Paths], Iterator[Finding]]

SLIP_MM = 1e-6
"""Slip of floating point in sums of written sizes, mm."""


def sanity(project: Project) -> tuple[Project, list[Finding]]:
    """Check a typed project.

    Returns
    -------
    Project
        The same project with each outline moved so that its lower left corner is the datum.
    list of Finding
        What the rules of the table found.
    """
    drawn, findings = declared_shapes.paths(project)
    for rule in (*RULES, *LIMITS):
        findings.extend(rule(project, drawn))
    return declared_shapes.on_datum(project, drawn), findings


def cutout_beyond_face(project: Project, drawn: Paths) -> Iterator[Finding]:
    """Report a cut-out that its face does not cover."""
    for device in project.devices.values():
        face = drawn.get(device.key.inner("face"))
        for index in range(len(device.cutout)):
            cutout = drawn.get(device.key.inner("cutout", index))
            if face is None or cutout is None or device.face is None:
                continue
            beyond = declared_shapes.beyond_mm(cutout, face, is_round=device.face.circle is not None)
            if beyond > SLIP_MM:
                yield project.finding(
                    "file 60",
                    device.key.inner("cutout", index),
                    f"the cut-out of '{device.id}' reaches {beyond:.4g} mm beyond its face",
                    remedy="check both sizes and where they lie; the face has to cover the hole",
                    measured=beyond,
                    limit=0.0,
                    unit="mm",
                )


def unknown_depth(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report what stands behind a sheet with no known depth."""
    for device in project.devices.values():
        if not device.panel or device.mount != "cut-in":
            continue
        if not device.behind:
            message = f"'{device.id}' has nothing said of what is behind it, so its depth behind the sheet is not known"
            remedy = "measure it and write behind: {shape: ..., depth: ...}"
            yield project.finding("file 61", device.key.inner("behind"), message, remedy=remedy)
        for index, body in enumerate(device.behind):
            if body.depth is None:
                message = f"the depth of the body of '{device.id}' is not known"
                remedy = "measure from the sheet's rear face and write depth"
                yield project.finding("file 61", device.key.inner("behind", index), message, remedy=remedy)


def moved_datum(project: Project, drawn: Paths) -> Iterator[Finding]:
    """Report an outline that is moved to the datum while the panel's other coordinates stay."""
    for panel in project.panels.values():
        path = drawn.get(panel.key.inner("outline"))
        is_centred = panel.outline.kind in ("rect", "circle", "slot") and panel.outline.at == (0.0, 0.0)
        if path is None or is_centred:
            continue
        box = path.bounds()
        if max(abs(box.x0), abs(box.y0)) > SLIP_MM:
            message = (
                f"the outline of '{panel.id}' has its lower left corner at {box.x0:.4g}, {box.y0:.4g}; "
                "it is moved to 0, 0, and everything else on the panel counts from there"
            )
            key = panel.key.inner("outline")
            yield project.finding("file 63", key, message, remedy="draw the outline from its lower left corner")


def pin_conflict(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report a pin that names a panel or turn the device may not take."""
    for device in project.devices.values():
        pin, root = device.pin, device.key.inner("pin")
        if pin is None:
            continue
        if not device.panel:
            yield project.finding(
                "file 64", root, f"'{device.id}' is pinned but stands on no panel", remedy="delete the pin"
            )
        elif pin.panel is not None and pin.panel not in device.panel:
            message = f"'{device.id}' is pinned to '{pin.panel}' but may stand on {', '.join(device.panel)}"
            yield project.finding("file 64", f"{root}.panel", message, remedy="make both say the same")
        if pin.turn is not None and pin.turn not in device.turns:
            allowed = ", ".join(str(turn) for turn in device.turns)
            message = f"'{device.id}' is pinned at a turn of {pin.turn} degrees but its turns are {allowed}"
            yield project.finding("file 64", f"{root}.turn", message, remedy=f"write turns: [{allowed}, {pin.turn}]")


def pin_off_panel(project: Project, drawn: Paths) -> Iterator[Finding]:
    """Report a pin that lies beside every panel the device may stand on."""
    for device in project.devices.values():
        if device.pin is None:
            continue
        panels = (device.pin.panel,) if device.pin.panel in device.panel else device.panel
        outlines = [drawn[f"panels.{key}.outline"].bounds() for key in panels if f"panels.{key}.outline" in drawn]
        for axis, value, sizes in (
            ("x", device.pin.x, [box.width for box in outlines]),
            ("y", device.pin.y, [box.height for box in outlines]),
        ):
            if value is not None and sizes and not 0 <= value <= max(sizes):
                message = (
                    f"'{device.id}' is pinned at {axis} = {value:g} mm, beside its panel, which goes from 0 to "
                    f"{max(sizes):g} mm"
                )
                yield project.finding(
                    "file 64",
                    device.key.inner("pin", axis),
                    message,
                    remedy="measure its centre from the panel's lower left corner, seen from the front",
                    measured=value,
                    limit=max(sizes),
                    unit="mm",
                )


def cut_without_pin(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report a hole that is there already but has no place."""
    for device in project.devices.values():
        pin = device.pin
        if device.work_state == "cut" and device.panel and (pin is None or pin.x is None or pin.y is None):
            message = f"'{device.id}' is cut already, but no pin says where"
            remedy = "measure its centre from the datum and write pin: {x: ..., y: ...}"
            yield project.finding("file 65", device.key.inner("state"), message, remedy=remedy)


def fixing_in_cutout(project: Project, drawn: Paths) -> Iterator[Finding]:
    """Report a fixing with no material to hold it."""
    for device in project.devices.values():
        cutouts = [drawn.get(device.key.inner("cutout", index)) for index in range(len(device.cutout))]
        for number, fixing in enumerate(device.fixings):
            if any(cutout is not None and declared_shapes.shapes_hold(cutout, fixing.at) for cutout in cutouts):
                message = f"a fixing of '{device.id}' at {fixing.at[0]:g}, {fixing.at[1]:g} lies in its cut-out"
                remedy = "count from the centre of the face, x right and y up"
                yield project.finding("file 66", device.key.inner("fixings", number), message, remedy=remedy)


def load_said_twice(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report a load in amperes and watts at once."""
    for circuit in project.circuits.values():
        load = circuit.load
        if load is not None and load.current is not None and load.power is not None:
            message = f"circuit '{circuit.id}' gives both current ({load.current:g} A) and power ({load.power:g} W)"
            key = circuit.key.inner("load")
            yield project.finding("file 67", key, message, remedy="keep the one on the device's plate")


def unusable_number_pattern(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report a pattern of wire numbers that can't be filled in, or gives two wires one number."""
    pattern = project.wiring.number_pattern
    if not _tells_apart(pattern):
        message = f"the pattern '{pattern}' makes no wire numbers that tell circuits, segments and poles apart"
        remedy = "use {circuit:03d}, {segment} and {pole}, and {core} if you like"
        yield project.finding("file 57", "wiring.number_pattern", message, remedy=remedy)


def unknown_language(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report a language that spile does not speak; findings and documents stay English."""
    known = shipped_languages()
    if project.project.language not in known:
        message = f"there is no language '{project.project.language}'; documents would be in English"
        remedy = f"write one of {', '.join(known)}"
        yield project.finding("paper 70", "project.language", message, remedy=remedy)


def reach(project: Project, _drawn: Paths) -> Iterator[Finding]:
    """Report, where wireways are declared, places that none reaches and wireways that reach nothing."""
    ends: dict[str, list[str]] = {}
    for way in project.wireways.values():
        for node in (way.from_, way.to):
            ends.setdefault(node, []).append(way.id)
    used = _used_places(project)
    for name, user in used.items():
        if project.wireways and name in project.locations and name not in ends:
            message = f"no wireway reaches the place '{name}', where {user} stands"
            remedy = "declare a wireway to it (kind: free needs no conduit)"
            yield project.finding("file 69", f"locations.{name}", message, remedy=remedy)
    for name, found in ends.items():
        if len(found) == 1 and name not in used and name in project.locations:
            message = f"the wireway '{found[0]}' ends at '{name}', where nothing stands and no other wireway begins"
            remedy = "name the place of something it serves, or leave it as a spare"
            yield project.finding("file 70", f"wireways.{found[0]}", message, remedy=remedy)


RULES: tuple[SanityRule, ...] = (
    cutout_beyond_face,
    unknown_depth,
    moved_datum,
    pin_conflict,
    pin_off_panel,
    cut_without_pin,
    fixing_in_cutout,
    load_said_twice,
    unusable_number_pattern,
    unknown_language,
    reach,
)
"""Every rule, in the order they run."""


def _tells_apart(pattern: str) -> bool:
    sample: dict[str, Any] = {"circuit": 7, "segment": "a", "pole": "+", "core": ""}
    others = ({**sample, "circuit": 8}, {**sample, "segment": "b"}, {**sample, "pole": "-"})
    try:
        parts = list(Formatter().parse(pattern))
        if any(name is not None and (name not in sample or len(spec or "") > 4) for _, name, spec, _ in parts):
            return False
        return all(pattern.format(**other) != pattern.format(**sample) for other in others)
    except (ValueError, KeyError, TypeError):
        return False


def _used_places(project: Project) -> dict[str, str]:
    used: dict[str, str] = {}
    for panel in project.panels.values():
        if panel.cable_exit is not None:
            used.setdefault(panel.cable_exit.location, f"the panel '{panel.id}'")
    for section in (
        project.devices,
        project.supplies,
        project.battery_switches,
        project.bus_bars,
        project.breaker_panels,
    ):
        for entry in section.values():
            if entry.location is not None:
                used.setdefault(entry.location, f"'{entry.id}'")
    return used
