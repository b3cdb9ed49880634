"""The one-line diagram shows every supply, switch, bar, panel and way, and says what is not known."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from layout.drawing.diagrams.one_line import _with_junctions, one_line
from layout.drawing.diagrams.one_line_graph import live_graph, load_symbol
from layout.drawing.diagrams.one_line_picture import Chosen
from layout.drawing.elements.label_placing import box_holds
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Group, Text, scene_leaves
from layout.geometry.path import Box
from layout.project.model.circuits import Circuit, Leg, Load
from layout.project.model.keys import End
from layout.project.model.project import Project, TitleBlock
from layout.project.model.supplies import BatterySwitch, BreakerPanel, BusBar, Feeder, Protection, Supply, Way
from layout.project.reading.read import read
from tests.conftest import EXAMPLES


def _boat(**more: object) -> Project:
    base = Project(
        spile=1,
        project=TitleBlock(name="Dory"),
        supplies={
            "house": Supply(id="house", name="House bank", kind="battery", voltage=12, capacity=100),
            "alt": Supply(id="alt", name="Alternator", kind="alternator", voltage=12, current=40),
            "shore": Supply(id="shore", name="Shore", kind="shore", voltage=230),
            "charger": Supply(id="charger", name="Charger", kind="charger", voltage=12, fed_from=End.read("ac/1")),
        },
        battery_switches={"main": BatterySwitch(id="main", name="Main switch", kind="isolator", voltage=12)},
        bus_bars={"plus": BusBar(id="plus", name="Positive bar", pole="+", studs=("M8", "M8"))},
        breaker_panels={
            "dc": BreakerPanel(
                id="dc",
                name="Fuse panel",
                voltage=12,
                ways={"1": Way(id="1", circuit="light", rating=5), "2": Way(id="2", free=True, rating=10)},
            ),
            "ac": BreakerPanel(
                id="ac", name="AC panel", voltage=230, ac=True, ways={"1": Way(id="1", circuit="charge")}
            ),
        },
        feeders={
            "lead": Feeder(
                id="lead",
                from_=End.read("house/+"),
                to=End.read("main/in"),
                protection=Protection(kind="link fuse", rating=80),
            ),
            "bar": Feeder(id="bar", from_=End.read("main/out"), to=End.read("plus")),
            "alt": Feeder(id="alt", from_=End.read("alt/+"), to=End.read("house/+")),
            "feed": Feeder(
                id="feed", from_=End.read("plus"), to=End.read("dc/in"), protection=Protection(kind="blade fuse")
            ),
            "charge": Feeder(id="charge", from_=End.read("charger/+"), to=End.read("plus")),
            "shore": Feeder(id="shore", from_=End.read("shore"), to=End.read("ac"), poles=("L", "N", "PE")),
            "back": Feeder(id="back", from_=End.read("dc/-"), to=End.read("house/-"), poles=("-",)),
        },
        circuits={
            "light": Circuit(
                id="light",
                name="Cabin light",
                from_=End.read("dc/1"),
                to=End.read("x"),
                purpose="cabin lights",
                load=Load(power=10),
            ),
            "pump": Circuit(
                id="pump",
                name="Bilge pump",
                from_=End.read("dc"),
                to=End.read("x"),
                purpose="bilge pump",
                load=Load(current=4, motor=True),
                legs={
                    "float": Leg(
                        id="float",
                        name="float switch",
                        from_=End.read("plus"),
                        to=End.read("x"),
                        protection=Protection(kind="blade fuse", rating=7.5),
                    )
                },
            ),
            "charge": Circuit(
                id="charge", name="Charger", from_=End.read("ac/1"), to=End.read("charger"), purpose="charger"
            ),
        },
        switch_states={"normal": {"main": "on"}},
    )
    return replace(base, **more)


def _words(project: Project, chosen: Chosen | None = None) -> list[str]:
    return [item.content for item in scene_leaves(one_line(project, chosen).items) if isinstance(item, Text)]


def test_everything_that_is_declared_is_named():
    """Supplies, switch, bar, panels, circuits, ways, states and references all stand on the diagram."""
    words = _words(_boat())
    for expected in (
        "House bank", "Alternator", "Shore", "Charger", "Main switch", "Positive bar", "Fuse panel", "AC panel",
        "Cabin light", "Bilge pump (no way yet)", "Bilge pump, float switch", "spare", "80 A", "7.5 A", "10 W",
        "normal", "from AC panel, way 1", "Fed straight from Positive bar",
    ):  # fmt: skip
        assert expected in words, expected


def test_what_is_not_known_prints_as_a_question():
    """A fuse without rating and a load without amperes are asked for, never left out."""
    words = _words(_boat())
    assert "? A" in words
    assert "load ?" in words


def test_no_two_texts_overlap_and_all_stand_inside():
    """Every text lies on the picture and clear of every other."""
    scene = one_line(_boat())
    boxes = [(item.content, text_box(item)) for item in scene_leaves(scene.items) if isinstance(item, Text)]
    page = Box(0, 0, scene.width_mm, scene.height_mm)
    assert [content for content, box in boxes if not box_holds(page, box)] == []
    for (one, a), (two, b) in combinations(boxes, 2):
        apart = a.x1 <= b.x0 + 0.05 or b.x1 <= a.x0 + 0.05 or a.y1 <= b.y0 + 0.05 or b.y1 <= a.y0 + 0.05
        assert apart, (one, two)


def test_symbols_are_those_of_what_stands_there():
    """Battery, DC generator, rectifier, isolator, fuse and lamp are drawn by their symbols."""

    def names(items):
        for item in items:
            if isinstance(item, Group):
                yield item.name
                yield from names(item.items)

    found = set(names(one_line(_boat()).items))
    assert {"battery", "DC generator", "rectifier", "isolator", "fuse", "lamp", "connector"} <= found


def test_a_source_on_a_battery_post_meets_it_in_a_dot():
    """The alternator that charges the battery's post is a line to a junction, not a loop through the battery."""
    graph = live_graph(_boat(), assigned={})
    assert any(feed.source == "alt" and feed.target == "house" for feed in graph.feeds)
    assert one_line(_boat()).width_mm > 0


def test_ways_that_were_assigned_stand_in_their_row():
    """A circuit that wiring gave to way 3 is shown there, with its number beside it."""
    boat = _boat(
        breaker_panels={
            "dc": BreakerPanel(id="dc", name="Fuse panel", voltage=12, ways={"3": Way(id="3", rating=10)}),
        },
        feeders={},
    )
    chosen = Chosen(ways={"dc/3": "pump"}, notes={"ways.dc/3": "017"})
    words = _words(boat, chosen)
    assert "Bilge pump" in words
    assert any("017" in word for word in words)


def test_a_loop_of_feeders_is_said_in_words():
    """Two bars that feed each other give one line and a reference at both ends."""
    bars = {key: BusBar(id=key, name=f"Bar {key}", pole="+") for key in "ab"}
    feeders = {
        "x": Feeder(id="x", from_=End.read("a"), to=End.read("b")),
        "y": Feeder(id="y", from_=End.read("b"), to=End.read("a")),
    }
    words = _words(Project(spile=1, project=TitleBlock(name="Loop"), bus_bars=bars, feeders=feeders))
    assert "also to Bar a" in words
    assert "also from Bar b" in words


def test_a_project_without_supplies_says_so():
    """An empty project gives a picture that says that nothing is declared."""
    assert "No supplies are declared." in _words(Project(spile=1, project=TitleBlock(name="Empty")))


@pytest.mark.parametrize(
    ("purpose", "motor", "expected"),
    [
        ("nav lights", False, "lamp"),
        ("socket", False, "socket outlet"),
        ("lights", True, "motor"),
        ("radio", False, "load"),
    ],
)
def test_a_load_is_drawn_by_what_it_is(purpose, motor, expected):
    """Motor before purpose, then lights and sockets by their words."""
    assert (
        load_symbol(Circuit(from_=End.read("x"), to=End.read("y"), purpose=purpose, load=Load(motor=motor))) == expected
    )


@pytest.mark.parametrize("name", ["hire_cruiser.yaml", "canal_barge.yaml"])
def test_bank_and_mains_side_of_an_inverter_meet_in_no_dot(name: str) -> None:
    """The feed of its + arrives at the inverter; a dot stands only where conductors of one net meet."""
    project = read(EXAMPLES / name).project
    feeds, _, _ = _with_junctions(project, live_graph(project, assigned={}))
    assert {feed.target for feed in feeds if feed.id.endswith("inverter_feed")} == {"inverter"}
    assert not [feed.id for feed in feeds if feed.target == "inverter/post"]
