"""A project as its files write it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.device import Device, DeviceDefaults
from layout.project.model.edge import OneOrMore
from layout.project.model.project import Project
from layout.project.model.supplies import ProtectionDefaults


@dataclass(frozen=True, slots=True, kw_only=True)
class Defaults:
    """What holds for all entries of a section that say nothing else."""

    devices: DeviceDefaults = field(default_factory=DeviceDefaults)
    protection: Mapping[str, ProtectionDefaults] = field(default_factory=FrozenMap)


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

    include: Annotated[tuple[str, ...], OneOrMore()] = ()
    shelf: Mapping[str, Device] = field(default_factory=FrozenMap)
    defaults: Defaults = field(default_factory=Defaults)
