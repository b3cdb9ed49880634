"""What greedy repair can't do and the solver can, and that nothing moves where nothing helps."""

from __future__ import annotations

from dataclasses import replace

from layout.project.model.wireways import Location
from layout.wiring.wire import wire
from tests.wiring.builders import boat, lamp


def crossed():
    """Return a boat in which a run can only leave its conduit if another one makes room first.

    ``w0`` leads to p0 and is too narrow for two pairs; the way round goes by ``w1`` to q and on by ``wx``. ``w1`` is
    just full with the pair to p1, which goes on from q by ``wy`` and could take the longer ``w2`` instead.
    """
    circuits = {f"c{n}": lamp(n, amps=0.5, location=place) for n, place in ((1, 0), (2, 0), (3, 1))}
    project = boat(circuits, lengths_mm=(1000.0, 1000.0), wireway={"bore": 7.0})
    straight = project.wireways["w0"]
    links = {
        "w1": ("locker", "q", 1000.0),
        "wx": ("q", "p0", 500.0),
        "wy": ("q", "p1", 100.0),
        "w2": ("locker", "p1", 2500.0),
    }
    more = {key: replace(straight, id=key, from_=a, to=b, length=mm) for key, (a, b, mm) in links.items()}
    places = {**project.locations, "q": Location(id="q")}
    return replace(project, locations=places, wireways={"w0": straight, **more})


def test_makes_room_elsewhere():
    """All fits once one pair goes over p1 and the pair to p1 makes room; no wireway is overfull."""
    result = wire(crossed(), None)
    assert not [f.message for f in result.findings if f.rule == "wire 14"]
    assert {run.key: run.route for run in result.runs if run.owner_kind == "circuit"}["circuits.c3"] in (
        ("w1",),
        ("w2",),
    )


def test_nothing_moves_where_nothing_helps():
    """Without another way the runs stay on the short one, and the finding names them."""
    project = crossed()
    bare = replace(project, wireways={key: project.wireways[key] for key in ("w0", "w2")})
    result = wire(bare, None)
    assert {run.route for run in result.runs if run.owner_kind == "circuit"} == {("w0",), ("w2",)}
    found = [f for f in result.findings if f.rule == "wire 14"]
    assert [f.subjects for f in found] == [("wireways.w0", "circuits.c1", "circuits.c2")]
