"""Read a project: files to tree, tree to typed model, and everything that is wrong on the way."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.findings import Finding, code_order, in_order
from layout.frozen import FrozenMap
from layout.project.model.project import Project
from layout.project.model.project_file import ProjectFile
from layout.project.reading.build import Builder
from layout.project.reading.characters import unprintable_texts
from layout.project.reading.crossref import cross_references
from layout.project.reading.form import older_form
from layout.project.reading.include import read_files
from layout.project.reading.merge import with_types
from layout.project.reading.reading import Reading
from layout.project.reading.sanity import sanity
from layout.project.reading.short_forms import shaped, written_out
from layout.project.reading.tree import FileSpot, Items, Leaf, Member, TableNode, file_places

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

USABLE_FROM = "file 60"
"""Faults with a smaller code leave a file that does not say what its author meant: there is no project to work with."""


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
    older = older_form(files.tree) if files.tree is not None else None
    if older is not None:  # each old word would be one more finding
        return Reading(project=None, findings=(older,), sources=FrozenMap(files.sources))
    if files.tree is not None:
        full, short_faults = written_out(_with_more(files.tree, more or {}))
        tree, type_faults = with_types(full)
        tree = shaped(tree)
        project, faults_found = _typed(tree)
        typeless = {finding.at.key for finding in type_faults}
        faults_found = [one for one in faults_found if one.at.key not in typeless]  # what the type would have said
        findings += [
            *short_faults,
            *type_faults,
            *faults_found,
            *unprintable_texts(files.tree),
            *cross_references(tree),
        ]
        if project is not None:
            project, doubts = sanity(project)
            findings += doubts
    if any(code_order(finding.rule) < code_order(USABLE_FROM) for finding in findings):
        project = None
    return Reading(project=project, findings=in_order(_joined(findings)), sources=FrozenMap(files.sources))


def _with_more(tree: TableNode, more: Mapping[str, str]) -> TableNode:
    """Return the tree with more devices."""
    if not more:
        return tree
    at = FileSpot("", 0, 0)
    panels, devices = tree.get("panels"), tree.get("devices")
    names = tuple(Leaf(at, key, key) for key in panels.members) if isinstance(panels, TableNode) else ()
    known = dict(devices.members) if isinstance(devices, TableNode) else {}
    for key, kind in more.items():
        keys = {"type": Member(at, Leaf(at, kind, kind)), "panel": Member(at, Items(at, names))}
        known[key] = Member(at, TableNode(at, keys))
    return TableNode(tree.at, {**tree.members, "devices": Member(at, TableNode(at, known))})


def _typed(tree: TableNode) -> tuple[Project | None, list[Finding]]:
    builder = Builder(tree, open_sections=("shelf",))
    whole = builder.build(ProjectFile)
    if whole is None:
        return None, builder.findings
    values = {one.name: getattr(whole, one.name) for one in fields(Project)}
    return Project(**{**values, "positions": FrozenMap(file_places(tree))}), builder.findings


def _joined(findings: Iterable[Finding]) -> list[Finding]:
    """Report once, where it stands, a fault that several entries took over: from a type, the defaults, all ways."""
    found: dict[Any, Finding] = {}
    for finding in findings:
        steps = finding.at.key.split(".")
        owner = ".".join(steps[: 4 if steps[2:3] == ["ways"] else 2])
        can_lend = steps[0] in ("devices", "shelf", "defaults", "breaker_panels")
        alike = finding.message.replace(owner, "") if can_lend else finding.message
        key = (finding.rule, finding.at.file, finding.at.line, finding.at.column, alike)
        known = found.get(key)
        if known is None:
            found[key] = finding
        else:
            first, second = (finding, known) if known.related and not finding.related else (known, finding)
            found[key] = replace(first, related=tuple(dict.fromkeys((*first.related, *second.related))))
    return list(found.values())
