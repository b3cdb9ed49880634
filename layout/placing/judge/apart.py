"""Distances between devices: faces, cut-outs, fixing holes, and pairs that are kept apart in every layer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.judge.near import near, near_pairs, too_near
from layout.placing.judge.reporting import apart_text, device_key, geometry_finding, remedy_for
from layout.placing.rule_table import rule_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from layout.findings.finding import Finding
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.near import Close
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import PanelStanding, Standing
    from layout.project.model.device import Device


def apart(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find devices whose faces, cut-outs or fixing holes are too near to each other."""
    faces = [one.face for one in here.standing]
    yield from pairs_too_near(here, "panel 2", faces, limits.face_gap, what="", reach_mm=limits.reach(Layer.FRONT))
    cutouts = [part for one in here.standing for part in one.cutouts]
    yield from pairs_too_near(
        here, "panel 3", cutouts, limits.web, what="the cut-outs of ", reach_mm=limits.reach(Layer.SHEET)
    )
    holes = [part for one in here.standing for part in one.fixings]
    edge = rule_mm(here.project, "fixing_edge")
    yield from pairs_too_near(here, "panel 14", holes, lambda *_: edge, what="fixing holes of ", reach_mm=edge)
    yield from _in_space(here, limits)


def pairs_too_near(
    here: PanelStanding,
    code: str,
    parts: list[PlacedForm],
    limit_of: Callable[[Device, Device, tuple[str, str]], float | None],
    *,
    what: str,
    reach_mm: float,
    allowed: Callable[[PlacedForm, PlacedForm], bool] | None = None,
) -> Iterator[Finding]:
    """Find each two devices with parts nearer than their limit.

    Parameters
    ----------
    limit_of
        Least distance of two devices, mm; None asks nothing of them. Never more than ``reach_mm``.
    what
        Stands before the first device's name in the message.
    allowed
        Tells which two parts may be at any distance.
    """
    standing = here.by_id()
    limit = _by_part(standing, limit_of)
    close = ((parts[i], parts[j]) for i, j in near_pairs(parts, reach_mm))
    if allowed is not None:
        close = (pair for pair in close if not allowed(*pair))
    for (first, second), worst in too_near(close, limit).items():
        yield _finding(here, code, (standing[first], standing[second]), worst, what)


def _by_part(
    standing: Mapping[str, Standing], limit_of: Callable[[Device, Device, tuple[str, str]], float | None]
) -> Callable[[PlacedForm, PlacedForm], float | None]:
    known: dict[tuple[str, str], float | None] = {}

    def limit(first: PlacedForm, second: PlacedForm) -> float | None:
        ids = (first.owner, second.owner)
        if ids not in known:
            known[ids] = known[ids[::-1]] = limit_of(standing[ids[0]].device, standing[ids[1]].device, ids)
        return known[ids]

    return limit


def _finding(here: PanelStanding, code: str, pair: tuple[Standing, Standing], worst: Close, what: str) -> Finding:
    first, second = pair
    one, other, _, limit = worst
    text, measured = apart_text(one, other, (f"{what}{first.name}", second.name), limit, f" on {here.name}")
    return geometry_finding(
        here.project,
        code,
        text,
        (device_key(first), device_key(second)),
        measured=measured,
        limit=limit,
        remedy=remedy_for(first, second, (one, other), limit),
    )


def _in_space(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find devices that a rule for all layers keeps apart, and that come too near in any two layers."""

    def limit_of(first: Device, second: Device, ids: tuple[str, str]) -> float | None:
        return limits.said(Layer.ALL, first, second, ids)

    if not limits.in_space():
        return
    standing = here.by_id()
    limit = _by_part(standing, limit_of)
    bound = [
        (a, b, gap)
        for i, a in enumerate(here.standing)
        for b in here.standing[i + 1 :]
        if (gap := limit(a.face, b.face)) is not None
    ]
    for first, second, gap in bound:
        ones, others = _all_parts(first), _all_parts(second)
        pairs = ((ones[i], others[j]) for i, j in near(ones, others, gap))
        for worst in too_near(pairs, limit).values():
            yield _finding(here, "panel 19", (first, second), worst, "parts of ")


def _all_parts(one: Standing) -> list[PlacedForm]:
    return [one.face, *one.cutouts, *(room.bare for room in one.rooms)]
