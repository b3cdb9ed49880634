"""The table of hard rules, and what each limit is in one project and where it comes from."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Literal

from layout.findings.finding import Place
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.project.model.project import Project

Origin = Literal["user", "default", "standard"]
"""Who set a limit: the user's file, the table of rules, or a published standard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardRule:
    """One row of the table.

    Attributes
    ----------
    name
        What the rule is called everywhere.
    layer, applies
        Where it holds and whom it binds.
    limit
        Field of ``rules:`` that sets it; None where the limit stands with the device or panel, or there is none.
    default_mm
        Limit where the user says nothing; None where there is no such thing.
    says, why, source
        The rule itself, its reason, and where the default comes from.
    findings
        Codes by which the judge reports that it is broken, or that too little is known to tell.
    """

    name: str
    layer: str
    applies: str
    limit: str | None
    default_mm: float | None
    says: str
    findings: tuple[str, ...]
    why: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectiveLimit:
    """What one limit is in a project.

    Attributes
    ----------
    rule, layer, applies
        Of the table; ``applies`` names the device, pair or class where it is not the general limit.
    value_mm
        The limit; None where the rule has none.
    origin, at
        Who set it, and where in the files.
    why, source
        Reason and source of the value.
    """

    rule: str
    layer: str
    applies: str
    value_mm: float | None
    origin: Origin
    at: Place
    why: str
    source: str


@cache
def hard_rules() -> dict[str, HardRule]:
    """Return the table by name, in its own order."""
    from layout.shipped import shipped_yaml

    text = resources.files("layout.placing").joinpath("rules.yaml").read_text(encoding="utf-8")
    return {
        name: HardRule(
            name=name,
            layer=row["layer"],
            applies=row["applies"],
            limit=row["limit"],
            default_mm=None if row["default"] is None else float(row["default"]),
            says=row["says"],
            findings=tuple(row["findings"]),
            why=row["why"],
            source=row["source"],
        )
        for name, row in shipped_yaml(text).items()
    }


@cache
def default_mm(limit: str) -> float:
    """Return the default of a field of ``rules:``.

    Raises
    ------
    KeyError
        If no rule of the table has that limit.
    """
    for rule in hard_rules().values():
        if rule.limit == limit and rule.default_mm is not None:
            return rule.default_mm
    raise KeyError(limit)


def rule_mm(project: Project, limit: str) -> float:
    """Return a general limit of a project: what ``rules:`` says, else the table's default."""
    said: float | None = getattr(project.rules, limit)
    return default_mm(limit) if said is None else said


def effective_rules(project: Project) -> tuple[EffectiveLimit, ...]:
    """Return every limit that holds in a project, with who set it and where.

    First the table in its order, then what devices, panels, pairs and classes say for themselves, then relations.
    """
    rows = [_general(project, rule) for rule in hard_rules().values()]
    return (*rows, *_own(project), *_pairs(project), *_relations(project))


def _general(project: Project, rule: HardRule) -> EffectiveLimit:
    said = getattr(project.rules, rule.limit) if rule.limit else None
    origin: Origin = "user" if said is not None else "standard" if rule.source.startswith("ISO") else "default"
    return EffectiveLimit(
        rule=rule.name,
        layer=rule.layer,
        applies=rule.applies,
        value_mm=rule.default_mm if said is None else said,
        origin=origin,
        at=project.place_of(f"rules.{rule.limit}") if said is not None else Place(),
        why=rule.why,
        source="the project" if said is not None else rule.source,
    )


_OWN = {
    "face_gap": "faces-apart",
    "hole_gap": "cut-outs-apart",
    "edge": "face-in-panel",
    "compass_safe": "compass-safe",
}


def _own(project: Project) -> list[EffectiveLimit]:
    found = []
    owners = [("panels", key, panel) for key, panel in project.panels.items()]
    for kind, key, owner in [*owners, *(("devices", key, device) for key, device in project.devices.items())]:
        for limit, rule in _OWN.items():
            value = getattr(owner, limit, None)
            if value is not None:
                found.append(_user(project, rule, key, value, f"{kind}.{key}.{limit}"))
    return found


def _pairs(project: Project) -> list[EffectiveLimit]:
    names = {"front": "faces-apart", "sheet": "cut-outs-apart", "rear": "bodies-apart", "all": "apart-in-space"}
    return [
        _user(project, names[str(rule.layer)], " and ".join(rule.between), rule.gap, f"rules.apart.{k}", why=rule.why)
        for k, rule in enumerate(project.rules.apart)
    ]


def _relations(project: Project) -> list[EffectiveLimit]:
    return [
        _user(
            project,
            "relation",
            f"{relation.kind.replace('_', ' ')}: {', '.join(relation.devices)}",
            relation.gap,
            f"rules.relations.{k}",
            why=relation.why,
        )
        for k, relation in enumerate(project.rules.relations)
    ]


def _user(
    project: Project, name: str, applies: str, value_mm: float | None, key: str, *, why: str = ""
) -> EffectiveLimit:
    rule = hard_rules()[name]
    return EffectiveLimit(
        rule=name,
        layer=rule.layer,
        applies=applies,
        value_mm=value_mm,
        origin="user",
        at=project.place_of(key),
        why=why or rule.why,
        source="the project",
    )
