"""Fill, jam, plugs and pulling order against the published examples and by hand."""

from __future__ import annotations

import pytest

from layout.project.model.wireways import Wireway
from layout.wiring.result import CableIn
from layout.wiring.routing.fill import fill, room_mm2, tight_plugs, wireway_limit_percent


def conduit(bore=20.9, **more):
    """Return a conduit of one bore."""
    return Wireway(**{"from_": "a", "to": "b", "kind": "conduit", "length": 1000.0, "bore": bore, **more})


def cables(*ods, plug=None):
    """Return cables of some diameters."""
    return [CableIn(run=f"r{n}", number=f"{n}", od_mm=od, plug_mm=plug) for n, od in enumerate(ods)]


def test_cf_ref_2():
    """cf-ref-2: 6.1 and 5.0 mm in 20.9 mm fill 14.24 % of 31 %."""
    found = fill("w", conduit(), 1000, cables(6.1, 5.0), 0)
    assert found.fill_percent == pytest.approx(14.24, abs=0.01)
    assert found.limit_percent == 31


def test_cf_ref_3():
    """cf-ref-3: three of 6.1 mm in 15.8 mm fill 44.72 % of 40 %."""
    found = fill("w", conduit(15.8), 1000, cables(6.1, 6.1, 6.1), 0)
    assert found.fill_percent == pytest.approx(44.72, abs=0.01)
    assert found.limit_percent == 40


def test_unknown_diameter_is_no_fill():
    """One cable without diameter, and the fill is not known."""
    assert fill("w", conduit(), 1000, cables(6.1, None), 0).fill_percent is None


def test_trunk_by_its_area():
    """20 x 10 mm with one cable of 8 mm: 25.1 %."""
    trunk = Wireway(from_="a", to="b", kind="trunk", length=1000.0, inner=(20.0, 10.0))
    assert fill("w", trunk, 1000, cables(8.0), 0).fill_percent == pytest.approx(25.13, abs=0.01)


def test_trays_do_not_fill():
    """Nothing fills a tray or a free run."""
    tray = Wireway(from_="a", to="b", kind="tray", length=1000.0)
    found = fill("w", tray, 1000, cables(8.0), 0)
    assert (found.fill_percent, found.limit_percent, room_mm2(tray, 1)) == (None, None, None)


def test_owners_limit_only_lowers():
    """A lower limit for pulling again later holds; a higher one does not."""
    assert wireway_limit_percent(conduit(fill_limit=0.25), 3) == 25
    assert wireway_limit_percent(conduit(fill_limit=0.6), 3) == 40


def test_pulling_order():
    """Largest plug first, then thickest, then by number."""
    mixed = [
        CableIn(run="a", number="1", od_mm=3.0),
        CableIn(run="b", number="2", od_mm=6.0),
        CableIn(run="c", number="3", od_mm=4.0, plug_mm=18.0),
    ]
    assert [cable.number for cable in fill("w", conduit(), 1000, mixed, 0).cables] == ["3", "2", "1"]


def test_plug_past_what_is_in():
    """An 18 mm plug passes an empty 20.9 mm bore, not beside a 6 mm cable (by hand: 18 + 6.9 > 20.9), nor in a bend."""
    first = [CableIn(run="a", number="1", od_mm=6.0), CableIn(run="b", number="2", od_mm=6.0, plug_mm=18.0)]
    assert tight_plugs(conduit(), first[1:]) == []
    assert [tight.cable.number for tight in tight_plugs(conduit(), first)] == ["2"]
    assert len(tight_plugs(conduit(bends=90.0, bore=19.0), first[1:])) == 1


def test_jam():
    """Three equal cables of a third of the bore."""
    assert fill("w", conduit(18.0), 1000, cables(6.0, 6.0, 6.0), 0).jam
    assert not fill("w", conduit(18.0), 1000, cables(6.0, 6.0), 0).jam


def test_two_made_up_bus_cables_in_25_and_32_mm():
    """By hand: an 18 mm plug past an 8.4 mm cable needs 18 + 8.4 / sqrt(0.75) = 27.7 mm; nine tenths of 32 are 28.8."""
    both = cables(8.4, 8.4, plug=18.0)
    for bore, tight in ((25.0, ["1"]), (32.0, [])):
        way = conduit(bore=bore, bends=90.0)
        found = tight_plugs(way, fill("w", way, 1000, both, 0).cables)
        assert [plug.cable.number for plug in found] == tight
        assert all(plug.needs_mm == pytest.approx(27.7, abs=0.01) for plug in found)


def test_what_lies_there_already_is_passed_by_every_plug():
    """An 8.4 mm cable that stays aboard comes before the largest plug, and its own plug is through."""
    lies = CableIn(run="a", number="old", od_mm=8.4, plug_mm=19.0, lies_already=True)
    new = CableIn(run="b", number="new", od_mm=5.5, plug_mm=18.0)
    way = conduit(bore=25.0)
    ordered = fill("w", way, 1000, [new, lies], 0).cables
    assert [cable.number for cable in ordered] == ["old", "new"]
    assert [tight.cable.number for tight in tight_plugs(way, ordered)] == ["new"]
    assert tight_plugs(conduit(bore=28.0), ordered) == []
