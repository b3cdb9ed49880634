"""Devices: anything mounted on a panel, or standing elsewhere aboard and reached by wires.

A device's own frame has its origin at the centre of its face (bounding box), seen from the front; x right, y up,
z towards the viewer with 0 at the sheet's front face. A body therefore lies at negative z.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.edge import Note, OneOrMore
from layout.project.model.keys import Entry
from layout.project.model.panel import Layer, SizeFrom
from layout.project.model.shape import Dimensions, Pair, Shape, Tolerance
from layout.quantity import Amp, Diameter, Gap, Kg, Mm, Number, RestWatt, Size, Volt, WireSize

Turn = Literal[0, 90, 180, 270]


@dataclass(frozen=True, slots=True, kw_only=True)
class Starting:
    """What an engine's starter draws for the seconds in which it turns the engine, and from which voltage it does."""

    current: Amp
    start_voltage: Volt | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixing:
    """One screw, stud or bolt hole of a device.

    ``drill`` is the hole in the sheet; ``kind`` says pilot, clearance or tapped. ``depth`` is how deep it goes from the
    front face; without it a clearance or tapped hole goes through, and a pilot's depth is not known. In the file
    ``corners``, a width and a height round the face's centre, stands for four of them.
    """

    SHORT: ClassVar[Mapping[str, Any]] = {"corners": Dimensions}
    FILLED: ClassVar[tuple[str, ...]] = ("at",)
    at: Pair
    drill: Diameter
    kind: Literal["pilot", "clearance", "tapped"] = "clearance"
    thread: str = ""
    depth: Size | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """What fills the space behind the sheet. Several bodies make a stepped one.

    ``depth`` is measured from the sheet's rear face; None is not known, and an error wherever it is needed. A body
    whose shape is left out fills the cut-out.
    """

    BARE: ClassVar[tuple[str, ...]] = ("depth",)
    FILLED: ClassVar[tuple[str, ...]] = ("shape",)
    shape: Shape
    depth: Size | None = None
    from_depth: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebate:
    """The step in the sheet's front into which the face is let, so that it lies flush or lower.

    ``depth`` is measured from the sheet's front face; ``margin`` is how much wider than the face it is all round.
    """

    depth: Size
    margin: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugRoom:
    """Room that plugs and bending cables need behind the body (depth) and beside it (left, right, above, below)."""

    BARE: ClassVar[tuple[str, ...]] = ("depth",)
    depth: Gap | None = None
    left: Gap = 0.0
    right: Gap = 0.0
    above: Gap = 0.0
    below: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearAround:
    """A zone tied to a device that no other device may enter: cord, cover's swing, hot air, card slot, hand."""

    name: str = ""
    shape: Shape
    layer: Annotated[tuple[Layer, ...], OneOrMore()] = (Layer.FRONT,)
    from_depth: Gap = 0.0
    depth: Size | None = None
    against: Literal["cord", "cover", "hot air", "card", "hand", "plug", "other"] = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terminal:
    """Where a conductor ends on a device.

    ``stud`` is a thread such as M5; ``takes`` says what fits: ring, fork, blade, ferrule, bare, plug, solder. ``lugs``
    and ``largest`` are how many conductors go on it and the largest of them, by its maker; ``positions`` how many
    numbered ones a return bar has. ``unused`` says that nothing is to be joined to it.
    """

    id: str = ""
    name: str = ""
    at: Pair = (0.0, 0.0)
    depth: Gap | None = None
    pole: Literal["+", "-", "L", "N", "PE", "sense", "data", "antenna", "bond", "switched"] | None = None
    stud: str | None = None
    takes: Literal["ring", "fork", "blade", "ferrule", "bare", "plug", "solder"] | None = None
    lugs: Annotated[int, Number(least=1, most=20)] | None = None
    largest: WireSize | None = None
    positions: Annotated[int, Number(least=1, most=200)] | None = None
    plug: Diameter | None = None
    plug_removable: bool | None = None
    unused: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A position fixed by hand: the device's origin in panel coordinates, mm. ``locked`` parts only may be given."""

    x: Mm | None = None
    y: Mm | None = None
    turn: Turn | None = None
    panel: str | None = None

    def __post_init__(self) -> None:
        if (self.x, self.y, self.turn, self.panel) == (None, None, None, None):
            raise ValueError("a pin fixes at least one of x, y, turn, panel")


@dataclass(frozen=True, slots=True, kw_only=True)
class Device(Entry, Aboard):
    """Anything that is mounted or wired.

    Attributes
    ----------
    id, name
        The stable key in the file, and what people read; the name may change at any time.
    type
        Entry of the catalogue or of the user's shelf that the device started from.
    panel, location
        Panels it may stand on (exactly one of ``panel`` and ``location``), or the named place aboard where it is.
    mount
        ``cut-in`` goes through the sheet; ``surface`` is screwed on, with no cut-out.
    fitted_from
        The side from which a cut-in device goes into the sheet; from the rear its body need not pass the cut-out.
    face, cutout, fixings, bodies, plug_room
        The layers. A surface device's bodies lie in front and are described by ``front_height`` alone.
    cutout_tolerance, size_from
        How exact the hole must be, and where the sizes come from.
    rebate
        The step in the front that its face is let into; None for a face that lies on the sheet.
    front_height
        How far it stands out in front of its face's rear, mm.
    face_gap, hole_gap
        Least distance of its face to other faces, and of its cut-outs to others; None takes the rules' value.
    classes
        What it is to rules between classes: ac, dc, radio, antenna, instrument, magnet, heat, ...
    compass_safe
        Least distance from a magnetic compass, mm.
    rear_covered
        Whether its terminals are enclosed and finger-safe (asked for AC).
    eye, reach
        Whether it is looked at, or handled, while under way.
    heat
        Power it gives off behind the panel.
    ip, ignition_protected
        Protection code (IEC 60529), and whether it may stand among petrol, gas or battery gas (ISO 8846).
    plug
        Of a socket: which plug it takes, in words. Sockets of two voltages must not take the same.
    joins
        Pairs of its terminals that are one piece of metal inside (a shunt, a terminal block): ``[[in, out]]``. Left
        out, a terminal that one conductor arrives at and another of its pole leaves from is joined to that.
    work_state
        ``cut``: its hole is there already and pins it; ``pulled``: its wires are in.
    """

    SECTION: ClassVar[str] = "devices"
    id: str = ""
    name: str = ""
    type: str | None = None
    note: Note = ""
    panel: Annotated[tuple[str, ...], OneOrMore()] = ()
    location: str | None = None
    mount: Literal["cut-in", "surface"] = "cut-in"
    fitted_from: Literal["front", "rear"] = "front"
    face: Shape | None = None
    cutout: Annotated[tuple[Shape, ...], OneOrMore()] = ()
    cutout_tolerance: Tolerance | None = None
    rebate: Rebate | None = None
    fixings: tuple[Fixing, ...] = ()
    behind: Annotated[tuple[Behind, ...], OneOrMore()] = ()
    plug_room: PlugRoom | None = None
    front_height: Gap | None = None
    weight: Kg | None = None
    turns: Annotated[tuple[Turn, ...], OneOrMore()] = (0,)
    clear_around: tuple[ClearAround, ...] = ()
    face_gap: Gap | None = None
    hole_gap: Gap | None = None
    edge: Gap | None = None
    size_from: SizeFrom = SizeFrom.GUESSED
    aboard: Existing | None = None
    work_state: Literal["planned", "cut", "pulled"] = "planned"
    pin: Pin | None = None
    classes: Annotated[tuple[str, ...], OneOrMore()] = ()
    compass_safe: Size | None = None
    rear_covered: bool | None = None
    eye: bool = False
    reach: bool = False
    heat: RestWatt | None = None
    ip: str | None = None
    ignition_protected: bool | None = None
    plug: str = ""
    terminals: Mapping[str, Terminal] = field(default_factory=FrozenMap)
    joins: tuple[tuple[str, str], ...] = ()
    starting: Starting | None = None
    legend: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if bool(self.panel) == (self.location is not None):
            raise ValueError("a device takes exactly one of panel (mounted there) and location (elsewhere aboard)")
        if self.panel and self.face is None:
            raise ValueError("a device on a panel needs its face (width and height as seen from the front)")
        if self.panel and self.mount == "cut-in" and not self.cutout:
            raise ValueError("a cut-in device needs its cutout; write mount: surface if it is only screwed on")
        if self.mount == "surface" and self.cutout:
            raise ValueError("a surface-mounted device takes no cutout; its holes are fixings")


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceDefaults:
    """What holds for every device that says nothing else (``defaults: devices:``); merged before a device is read."""

    face_gap: Gap | None = None
    hole_gap: Gap | None = None
    edge: Gap | None = None
    plug_room: PlugRoom | None = None
    turns: Annotated[tuple[Turn, ...], OneOrMore()] | None = None
    size_from: SizeFrom | None = None
    cutout_tolerance: Tolerance | None = None
