"""Small frozen values for what stands before a conductor: conductors, what a source reaches, devices."""

from __future__ import annotations

from layout.wiring.circuits.segments import Lead, WireSegment
from layout.wiring.circuits.supply_graph import Link, SourceInState, SourceReach
from layout.wiring.protection.protective_device import ProtectiveDevice


def lead(start: str, end: str, pole: str = "+") -> Lead:
    """Return a conductor."""
    return Lead(pole=pole, start=start, end=end, start_node=start, end_node=end)


def segment(key: str, *leads: Lead, kind: str = "feeder", **more: object) -> WireSegment:
    """Return conductors of a feeder, or of what else declares them."""
    facts = {"owner": key, "owner_kind": kind, "name": key, "purpose": "", "run_class": "dc", "ac": False}
    return WireSegment(key=key, nominal_v=12.0, leads=leads, **{**facts, **more})


def device(key: str, rating_a: float | None, **more: object) -> ProtectiveDevice:
    """Return a link fuse where it stands."""
    return ProtectiveDevice(key=key, where=key, kind="link fuse", rating_a=rating_a, given=True, **more)


def link(key: str, a: str, b: str, *, kind: str = "wire", pole: str = "+") -> Link:
    """Return a conductor, or a closed contact, between two nodes."""
    return Link(a=a, b=b, kind=kind, key=key, lead=lead(a, b, pole) if kind == "wire" else None)


def reaching(root: str, *links: Link) -> SourceInState:
    """Return a source that reaches nodes over links in a line, each one's far node by that link."""
    by, node = {}, root
    for each in links:
        node = each.other(node)
        by[node] = each
    home = SourceReach(root="bank/-", by={}, order=())
    return SourceInState(state="on", source="bank", live=SourceReach(root=root, by=by, order=tuple(by)), back=home)
