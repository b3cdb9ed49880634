"""Read a project: files to tree, tree to typed model, and everything that is wrong on the way."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import Annotated, Any, ClassVar

from pydantic import TypeAdapter, ValidationError

from layout.findings import Finding, code_order, in_order
from layout.project.model.device import Device, DeviceDefaults
from layout.project.model.edge import OneOrMore
from layout.project.model.project import Project
from layout.project.reading.characters import unprintable_texts
from layout.project.reading.convert import Conversion
from layout.project.reading.crossref import cross_references
from layout.project.reading.include import read_files
from layout.project.reading.merge import with_types
from layout.project.reading.reading import Reading
from layout.project.reading.sanity import sanity
from layout.project.reading.tree import Items, Leaf, Member, Spot, Table, places
from layout.project.reading.validation_errors import faults

USABLE_FROM = "file 60"
"""Faults with a smaller code leave a file that does not say what its author meant: there is no project to work with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Defaults:
    """What holds for all entries of a section that say nothing else."""

    devices: DeviceDefaults = field(default_factory=DeviceDefaults)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProjectFile(Project):
    """A project as its files write it: with the sections that reading uses up.

    Attributes
    ----------
    include
        Other files below the project's folder that belong to it: YAML, or a CSV list of the wires found aboard.
    shelf
        The user's own types of device: the keys that devices of a type have in common.
    defaults
        What holds for every device that says nothing else.
    """

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}

    include: Annotated[tuple[str, ...], OneOrMore()] = ()
    shelf: Mapping[str, Device] = field(default_factory=dict)
    defaults: Defaults = field(default_factory=Defaults)


def read(path: Path | str, *, more: Mapping[str, str] | None = None) -> Reading:
    """Read a project file with all it includes.

    Parameters
    ----------
    path
        The project's own YAML file; places name files from its folder.
    more
        Devices to read as if they stood in the file too: id and type, which the shelf or the catalogue describes. They
        may stand on any panel.

    Returns
    -------
    Reading
        With findings instead of exceptions: whatever the file holds, nothing is raised for it.
    """
    files = read_files(Path(path))
    findings = list(files.findings)
    project = None
    if files.tree is not None:
        tree, type_faults = with_types(_with_more(files.tree, more or {}))
        project, faults_found = _typed(tree)
        typeless = {finding.at.key for finding in type_faults}
        faults_found = [one for one in faults_found if one.at.key not in typeless]  # what the type would have said
        findings += [*type_faults, *faults_found, *unprintable_texts(files.tree), *cross_references(tree)]
        if project is not None:
            project, doubts = sanity(project)
            findings += doubts
    if any(code_order(finding.rule) < code_order(USABLE_FROM) for finding in findings):
        project = None
    return Reading(project=project, findings=in_order(_joined(findings)), sources=files.sources)


def _with_more(tree: Table, more: Mapping[str, str]) -> Table:
    """Return the tree with more devices."""
    if not more:
        return tree
    at = Spot("", 0, 0)
    panels, devices = tree.get("panels"), tree.get("devices")
    names = tuple(Leaf(at, key, key) for key in panels.members) if isinstance(panels, Table) else ()
    known = dict(devices.members) if isinstance(devices, Table) else {}
    for key, kind in more.items():
        keys = {"type": Member(at, Leaf(at, kind, kind)), "panel": Member(at, Items(at, names))}
        known[key] = Member(at, Table(at, keys))
    return Table(tree.at, {**tree.members, "devices": Member(at, Table(at, known))})


@cache
def adapter() -> TypeAdapter[Any]:
    """Return the validator of project files."""
    return TypeAdapter(ProjectFile)


def _typed(tree: Table) -> tuple[Project | None, list[Finding]]:
    conversion = Conversion(tree)
    data = conversion.data(tree, ProjectFile)
    try:
        whole = adapter().validate_json(json.dumps(data), strict=True)
    except ValidationError as error:
        found = error.errors(include_url=False)
        kept = [one for one in found if not _is_open_type(one)]
        if kept:
            return None, [*conversion.findings, *faults(kept, conversion, ProjectFile)]
        data["shelf"] = {}  # types may leave open what each device says
        whole = adapter().validate_json(json.dumps(data), strict=True)
    name_entries(whole)
    values = {one.name: getattr(whole, one.name) for one in fields(Project)}
    return Project(**{**values, "positions": places(tree)}), conversion.findings


def _is_open_type(error: Any) -> bool:
    """Tell whether an error only says that a type leaves open what each device says itself."""
    return len(error["loc"]) == 2 and error["loc"][0] == "shelf" and error["type"] == "value_error"


def name_entries(value: Any) -> None:
    """Give every entry of a mapping its key as id, and as name where it has none."""
    if isinstance(value, Mapping):
        for key, entry in value.items():
            if is_dataclass(entry):
                known = {one.name for one in fields(entry)}
                if "id" in known:
                    object.__setattr__(entry, "id", key)  # not yet handed out: nobody has seen it without
                if "name" in known and not getattr(entry, "name", ""):
                    object.__setattr__(entry, "name", key)
            name_entries(entry)
    elif isinstance(value, tuple):
        for entry in value:
            name_entries(entry)
    elif is_dataclass(value):
        for one in fields(value):
            name_entries(getattr(value, one.name))


def _joined(findings: Iterable[Finding]) -> list[Finding]:
    """Report a fault that devices took over from a type or the defaults once, where it stands, with all of them."""
    found: dict[Any, Finding] = {}
    for finding in findings:
        owner = ".".join(finding.at.key.split(".")[:2])
        can_lend = owner.startswith(("devices.", "shelf.", "defaults."))
        alike = finding.message.replace(owner, "") if can_lend else finding.message
        key = (finding.rule, finding.at.file, finding.at.line, finding.at.column, alike)
        known = found.get(key)
        if known is None:
            found[key] = finding
        else:
            first, second = (finding, known) if known.related and not finding.related else (known, finding)
            found[key] = replace(first, related=tuple(dict.fromkeys((*first.related, *second.related))))
    return list(found.values())
