"""Antenna leads: loss at the radio's frequency, share radiated, bends, company of AC, and the next better cable."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.findings.finding import Place
from layout.light_dataclass import dataclass
from layout.network.cable_paths import reach_of, ways_for
from layout.standards import coax

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.network import AntennaLead
    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends

LESS_SHARE = 0.85
"""Share of the table below which a figure for the same cable is doubted (from memory of makers' sheets)."""
BOTH_ENDS = 2
"""Connections that are counted where the number is not stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadChoice:
    """Another kind of cable for the same lead: what it would lose, and the share of power left."""

    cable: str
    loss_db: float
    share: float
    outer_diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AntennaPlan:
    """One lead.

    Attributes
    ----------
    db_per_100m
        At the radio's frequency; None where not known.
    length_mm, wireways, places
        Along the route with slack; None and empty where not known.
    cable_db, connectors_db, loss_db
        Parts of the loss and their sum; None where not known.
    limit_db
        Greatest loss allowed.
    share, radiated_w
        Share of the power that reaches the antenna, and that power; None where not known.
    bend_radius_mm
        Least bend radius; None where the diameter is not known.
    better
        Kinds that lose less, from the next better on.
    """

    id: str
    name: str
    radio: str
    antenna: str
    cable: str
    frequency_mhz: float
    db_per_100m: float | None
    length_mm: float | None
    wireways: tuple[str, ...]
    places: tuple[str, ...]
    connectors: int
    cable_db: float | None
    connectors_db: float
    loss_db: float | None
    limit_db: float
    share: float | None
    radiated_w: float | None
    bend_radius_mm: float | None
    better: tuple[LeadChoice, ...]
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Route:
    length_mm: float | None = None
    way_mm: float | None = None
    wireways: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    moves: bool = False


def loss_db(*, db_per_100m: float, length_mm: float, connectors: int, connector_db: float) -> float:
    """Return the loss of a lead, dB: cable by its length, and each connection."""
    return db_per_100m * length_mm / 100_000.0 + connectors * connector_db


def plan_antenna(ends: Ends, lead: AntennaLead) -> AntennaPlan:
    """Return one lead with its loss and everything that is wrong with it (bus 60-068)."""
    route = _route(ends, lead)
    per_100m = _attenuation(lead, lead.cable)
    each = lead.connector_loss if lead.connector_loss is not None else coax.connector_loss_db()
    count = lead.connectors if lead.connectors is not None else BOTH_ENDS
    limit = _limit_db(lead)

    def lost(db_per_100m: float | None) -> float | None:
        if db_per_100m is None or route.length_mm is None:
            return None
        return loss_db(db_per_100m=db_per_100m, length_mm=route.length_mm, connectors=count, connector_db=each)

    total = lost(per_100m)
    share = coax.share_of_power(total) if total is not None else None
    better = [
        LeadChoice(cable=k.name, loss_db=other, share=coax.share_of_power(other), outer_diameter_mm=k.outer_diameter_mm)
        for k in coax.kinds()
        if k.impedance_ohm == lead.impedance
        and (other := lost(_table_db(k.name, lead.frequency))) is not None
        and (total is None or other < total - 1e-9)
    ]
    diameter = _diameter_mm(lead)
    radius = lead.bend_radius
    if radius is None and diameter is not None:
        radius = coax.bend_radius_mm(diameter, moves=route.moves)
    plan = AntennaPlan(
        id=lead.id,
        name=lead.name or lead.id,
        radio=lead.radio,
        antenna=lead.antenna,
        cable=lead.cable,
        frequency_mhz=lead.frequency,
        db_per_100m=per_100m,
        length_mm=route.length_mm,
        wireways=route.wireways,
        places=route.places,
        connectors=count,
        cable_db=None if total is None else total - count * each,
        connectors_db=count * each,
        loss_db=total,
        limit_db=limit,
        share=share,
        radiated_w=None if share is None or lead.power is None else share * lead.power,
        bend_radius_mm=radius,
        better=tuple(better),
    )
    found = (
        *_unknowns(plan, lead),
        *_loss(plan),
        *_cable(ends.project, plan, lead),
        *_length(plan, lead, route),
        *_owners_word(plan, lead),
    )
    return replace(plan, findings=found)


def _route(ends: Ends, lead: AntennaLead) -> _Route:
    start, end = reach_of(ends, lead.radio), reach_of(ends, lead.antenna)
    moves = start.moves or end.moves
    way = ways_for(ends.project, "antenna").between(start.location or "", end.location or "")
    wireways, places = (way.wireways, way.places) if way is not None else ((), ())
    if lead.length is not None:
        way_mm = way.length_mm if way is not None else None
        return _Route(length_mm=lead.length, way_mm=way_mm, wireways=wireways, places=places, moves=moves)
    if way is None or start.tail_mm is None or end.tail_mm is None:
        return _Route(wireways=wireways, places=places, moves=moves)
    length = (way.length_mm + start.tail_mm + end.tail_mm) * (1 + ends.project.wiring.slack_share)
    return _Route(length_mm=length, wireways=wireways, places=places, moves=moves)


def _table_db(cable: str, frequency_mhz: float) -> float | None:
    try:
        return coax.kind(cable).db_per_100m * coax.scaling(frequency_mhz)
    except (KeyError, ValueError):
        return None


def _attenuation(lead: AntennaLead, cable: str) -> float | None:
    return lead.attenuation if lead.attenuation is not None else _table_db(cable, lead.frequency)


def _limit_db(lead: AntennaLead) -> float:
    if lead.least_share:
        return coax.loss_of_share_db(lead.least_share)
    return lead.limit if lead.limit is not None else coax.most_loss_db()


def _diameter_mm(lead: AntennaLead) -> float | None:
    if lead.outer_diameter is not None:
        return lead.outer_diameter
    try:
        return coax.kind(lead.cable).outer_diameter_mm
    except KeyError:
        return None


def _at(plan: AntennaPlan, key: str = "") -> Place:
    return Place(key=f"antennas.{plan.id}" + (f".{key}" if key else ""))


def _subjects(plan: AntennaPlan) -> tuple[str, ...]:
    return (f"antennas.{plan.id}", f"devices.{plan.radio}", f"devices.{plan.antenna}")


def _length(plan: AntennaPlan, lead: AntennaLead, route: _Route) -> Iterator[Finding]:
    """Tell of a lead that is said to be shorter than the wireways it lies in."""
    if lead.length is not None and route.way_mm is not None and lead.length < route.way_mm - 1e-6:
        yield Finding(
            rule="bus 69",
            message=f"{plan.name} is said to be {lead.length / 1000:.2f} m long;"
            f" the wireways between its ends are {route.way_mm / 1000:.2f} m",
            at=_at(plan, "length"),
            remedy="write its true length, or delete length: so that the wireways count",
            measured=lead.length / 1000,
            limit=route.way_mm / 1000,
            unit="m",
            subjects=_subjects(plan),
        )


def _owners_word(plan: AntennaPlan, lead: AntennaLead) -> Iterator[Finding]:
    """Name each value that makes a lead look better than the tables do."""
    table = _table_db(lead.cable, lead.frequency)
    most = coax.most_loss_db()
    said: list[tuple[str, str]] = []
    if table is not None and lead.attenuation is not None and lead.attenuation < LESS_SHARE * table:
        text = f"{lead.attenuation:g} dB per 100 m are said of {lead.cable}; the table has {table:.1f} dB"
        said.append(("attenuation", text))
    if plan.limit_db > most + 1e-9:
        key = "least_share" if lead.least_share else "limit"
        said.append((key, f"a loss of {plan.limit_db:.2f} dB is allowed; {most:g} dB are usual"))
    if lead.connectors is not None and lead.connectors < BOTH_ENDS:
        said.append(("connectors", f"{lead.connectors} connections are said; a lead has {BOTH_ENDS} ends"))
    if lead.connector_loss is not None and lead.connector_loss < coax.connector_loss_db():
        text = f"a connection is said to lose {lead.connector_loss:g} dB; {coax.connector_loss_db():g} dB are usual"
        said.append(("connector_loss", text))
    for key, text in said:
        yield Finding(
            rule="bus 70",
            message=f"{plan.name}: {text}; {plan.name} is judged by the owner's word",
            at=_at(plan, key),
            remedy="delete it unless the maker's paper says so",
            subjects=_subjects(plan),
        )


def _unknowns(plan: AntennaPlan, lead: AntennaLead) -> Iterator[Finding]:
    if plan.length_mm is None:
        yield Finding(
            rule="bus 61",
            message=f"the length of {plan.name} is not known",
            at=_at(plan),
            remedy="write length:, or places for radio and antenna and wireways that carry antenna between them;"
            " a device on a panel must be placed first",
            subjects=_subjects(plan),
        )
    if plan.db_per_100m is None:
        known = any(kind.name == lead.cable for kind in coax.kinds())
        what = f"the table does not reach {lead.frequency:g} MHz" if known else f"the table has no {lead.cable}"
        yield Finding(
            rule="bus 67" if known else "bus 63",
            message=f"the attenuation of {plan.name} is not known: {what}",
            at=_at(plan, "frequency" if known else "cable"),
            remedy="write attenuation: with the maker's dB per 100 m at that frequency",
            subjects=_subjects(plan),
        )
    if lead.connectors is None:
        yield Finding(
            rule="bus 62",
            message=f"{plan.name} does not state its connections; {BOTH_ENDS} are counted",
            at=_at(plan),
            remedy="write connectors: with the number of connections from radio to antenna",
            subjects=_subjects(plan),
        )


def _loss(plan: AntennaPlan) -> Iterator[Finding]:
    if plan.loss_db is None or plan.loss_db <= plan.limit_db + 1e-9:
        return
    enough = next((choice for choice in plan.better if choice.loss_db <= plan.limit_db + 1e-9), None)
    remedy = "shorten the lead, or take a maker's low-loss cable"
    if enough is not None:
        remedy = f"take {enough.cable}: {enough.loss_db:.2f} dB, {100 * enough.share:.0f} % reach the antenna"
    yield Finding(
        rule="bus 60",
        message=f"{plan.name} loses {plan.loss_db:.2f} dB over {(plan.length_mm or 0.0) / 1000:.2f} m of {plan.cable}"
        f" with {plan.connectors} connections; the limit is {plan.limit_db:.2f} dB",
        at=_at(plan, "cable"),
        remedy=remedy,
        measured=plan.loss_db,
        limit=plan.limit_db,
        unit="dB",
        subjects=_subjects(plan),
    )


def _cable(project: Project, plan: AntennaPlan, lead: AntennaLead) -> Iterator[Finding]:
    kind = next((kind for kind in coax.kinds() if kind.name == lead.cable), None)
    if kind is not None and kind.impedance_ohm != lead.impedance:
        yield Finding(
            rule="bus 64",
            message=f"{plan.name} is {lead.cable} of {kind.impedance_ohm:g} ohm on a radio of {lead.impedance:g} ohm",
            at=_at(plan, "cable"),
            remedy=f"take a {lead.impedance:g} ohm cable",
            measured=kind.impedance_ohm,
            limit=lead.impedance,
            unit="ohm",
            subjects=_subjects(plan),
        )
    bends = [("the lead", lead.tightest_bend)] if lead.tightest_bend is not None else []
    for key in plan.wireways:
        bend = project.wireways[key].bend_radius
        if bend is not None:
            bends.append((f"wireway {key}", bend))
        if "ac" in project.wireways[key].carries and not project.wireways[key].compartments:
            yield Finding(
                rule="bus 66",
                message=f"{plan.name} lies in wireway {key} that also carries AC",
                at=_at(plan),
                related=(Place(key=f"wireways.{key}"),),
                remedy="lead it another way, or divide the wireway into compartments",
                subjects=(*_subjects(plan), f"wireways.{key}"),
            )
    if plan.bend_radius_mm is None:
        return
    if not bends:
        yield Finding(
            rule="bus 68",
            message=f"the tightest bend of {plan.name} is not stated; it takes {plan.bend_radius_mm:.0f} mm",
            at=_at(plan),
            remedy="write tightest_bend: with the smallest radius along the lead",
            limit=plan.bend_radius_mm,
            unit="mm",
            subjects=_subjects(plan),
        )
    for where, bend in bends:
        if bend < plan.bend_radius_mm - 1e-9:
            yield Finding(
                rule="bus 65",
                message=f"{where} bends {plan.name} to {bend:g} mm; {plan.cable} takes {plan.bend_radius_mm:.0f} mm",
                at=_at(plan, "tightest_bend"),
                remedy="widen the bend, or take a thinner cable if its loss allows",
                measured=bend,
                limit=plan.bend_radius_mm,
                unit="mm",
                subjects=_subjects(plan),
            )
