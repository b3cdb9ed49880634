"""A console and a board with devices in known places, for everything that draws. Invented."""

from __future__ import annotations

import pytest

from layout.frozen import FrozenMap
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Behind, ClearAround, Device, Fixing, PlugRoom, Terminal, Tolerance
from layout.project.model.panel import DepthPoint, Hinge, Layer, NoGo, OldHole, Panel, Reserved, SizeFrom
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Corner, Shape
from layout.project.model.workshop import Workshop


def four(x: float, y: float, drill: float = 4.5, kind: str = "clearance") -> tuple[Fixing, ...]:
    """Return four fixings at the corners of a rectangle."""
    return tuple(Fixing(at=(a, b), drill=drill, kind=kind) for a in (-x, x) for b in (y, -y))


def gauge(ident: str, name: str, face: float, hole: float, **more: object) -> Device:
    """Return a round device."""
    return Device(
        id=ident, name=name, panel=("console",), face=Shape(circle=face), cutout=(Shape(circle=hole),),
        behind=(Behind(shape=Shape(circle=hole - 1), depth=40),), plug_room=PlugRoom(depth=30), weight=0.2,
        **{"cutout_tolerance": Tolerance(plus=1, minus=0.5), "size_from": SizeFrom.MEASURED, **more},
    )  # fmt: skip


def plate(ident: str, name: str, *sizes: object, **more: object) -> Device:
    """Return a rectangular device: face, hole, corner radius, fixings, depth of its body."""
    face, hole, radius, fix, depth = sizes
    return Device(
        id=ident, name=name, panel=("console",), face=Shape(rect=face, radius=4),
        cutout=(Shape(rect=hole, radius=radius),), fixings=four(*fix),
        behind=(Behind(shape=Shape(rect=(hole[0] - 4, hole[1] - 4)), depth=depth),),
        plug_room=PlugRoom(depth=40, left=5, right=5),
        **{"cutout_tolerance": Tolerance(plus=2), "size_from": SizeFrom.MEASURED, "weight": 1.2, **more},
    )  # fmt: skip


def console_project() -> Project:
    """Return a launch's console: an irregular outline, twelve devices of every kind, and a small board."""
    terminals = FrozenMap(
        {
            "in": Terminal(id="in", at=(-70, 60), depth=50, pole="+", stud="M8", takes="ring"),
            "-": Terminal(id="-", at=(70, 60), depth=50, pole="-", stud="M6", takes="ring"),
        }
    )
    cord = ClearAround(name="hanging cord", shape=Shape(rect=(70, 110), at=(-55, -99)), against="cord")
    devices = [
        plate("dp24", "24 V distribution", (210, 190), (190, 168), 4, (99, 89), 70, terminals=terminals,
              legend=("NAV LIGHTS", "ANCHOR", "BILGE")),
        plate("dp12", "12 V distribution", (210, 150), (190, 128), 4, (99, 69), 70),
        plate("dpac", "230 V distribution", (160, 190), (140, 168), 4, (74, 89), 95, classes=("ac",)),
        plate("plotter", "Chart display", (310, 205), (286, 180), 10, (148, 60), 75, size_from=SizeFrom.MAKER),
        plate("radio", "Radio with handset", (195, 88), (172, 70), 6, (91, 38), 105, clear_around=(cord,)),
        gauge("depth", "Depth display", 112, 92, fixings=four(44, 44)),
        gauge("wind", "Wind display", 112, 92, fixings=four(44, 44)),
        gauge("tank", "Tank gauge", 60, 52.4, cutout_tolerance=Tolerance(plus=0.6)),
        gauge("monitor", "Battery monitor", 63, 52.5),
        gauge("socket", "12 V socket", 30, 18, cutout_tolerance=Tolerance(plus=0.5, minus=0.2)),
        gauge("speaker", "Radio speaker", 108, 92, fixings=four(43, 43, 3.2, "pilot"), work_state="cut"),
        Device(
            id="horn", name="Horn button", panel=("console",), face=Shape(rect=(60, 60)),
            cutout=(Shape(polygon=((-20, -15), (20, -15), (20, 15), (0, 22), (-20, 15))),),
            fixings=(Fixing(at=(-25, 25), drill=3.2, kind="pilot"),), size_from=SizeFrom.GUESSED,
            behind=(Behind(shape=Shape(rect=(38, 28)), depth=None),),
        ),
        Device(
            id="bar", name="Negative bar", panel=("board",), mount="surface", face=Shape(rect=(190, 52)),
            front_height=45,
            fixings=(Fixing(at=(-85, 0), drill=4, kind="pilot"), Fixing(at=(85, 0), drill=4, kind="pilot")),
            size_from=SizeFrom.MEASURED, weight=0.5,
        ),
    ]  # fmt: skip
    console = Panel(
        id="console", name="Hinged console", thickness=12, material="plywood", grain="across",
        outline=Shape(path=(Corner(at=(0, 0), radius=18), Corner(at=(1010, 0), radius=18),
                            Corner(at=(1010, 400), radius=30), Corner(at=(860, 580), radius=30),
                            Corner(at=(70, 580), radius=18), (0, 510))),
        depth_at=(DepthPoint(at=(0, 0), depth=150), DepthPoint(at=(1010, 0), depth=150),
                  DepthPoint(at=(1010, 580), depth=260), DepthPoint(at=(0, 580), depth=260)),
        hinge=Hinge(side="left", pin=(6, 4), opens=100),
        no_go={
            "lock": NoGo(id="lock", name="Lock", kind="lock", shape=Shape(rect=(40, 60), at=(985, 330))),
            "batten": NoGo(id="batten", name="Batten", kind="batten", layer=(Layer.REAR,),
                              shape=Shape(rect=(780, 16), at=(470, 568))),
        },
        reserved={"later": Reserved(id="later", name="next year's display", size=(70, 90), at=(790, 480))},
        old_holes={"old": OldHole(id="old", name="Old gauge hole", shape=Shape(circle=60, at=(780, 90)), fate="cover")},
    )  # fmt: skip
    board = Panel(
        id="board", name="Equipment board", kind="board", thickness=15, material="plywood",
        outline=Shape(rect=(300, 200), at=(150, 100)),
    )  # fmt: skip
    return Project(
        spile=1,
        project=TitleBlock(name="Harbour survey launch", number="HSL-240", owner="Invented for this test",
                           drawn_by="example", revision="B", date="2026-11-25", example=True),
        workshop=Workshop(saws=(22, 25, 29, 52, 60, 92), drills=(2.5, 3, 3.2, 4, 4.5, 5, 8, 10)),
        panels={"console": console, "board": board},
        devices={d.id: d for d in devices},
    )  # fmt: skip


def console_arrangement() -> Arrangement:
    """Return where everything of the console stands."""
    where = {
        "dp24": (135, 415), "dp12": (135, 225), "dpac": (890, 240), "plotter": (425, 430), "radio": (640, 90),
        "depth": (320, 220), "wind": (450, 220), "tank": (645, 460), "monitor": (560, 225), "socket": (650, 240),
        "speaker": (935, 75), "horn": (735, 430),
    }  # fmt: skip
    placed = {d: Placed(device=d, panel="console", x=x, y=y) for d, (x, y) in where.items()}
    placed["bar"] = Placed(device="bar", panel="board", x=150, y=100)
    return Arrangement(placed=placed)


@pytest.fixture(scope="session")
def project() -> Project:
    """Return the console's project."""
    return console_project()


@pytest.fixture(scope="session")
def arrangement() -> Arrangement:
    """Return the console's arrangement."""
    return console_arrangement()
