"""Which entries of a project take up an old wire, by the label that it carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One entry that names an old label, and what it says becomes of the wire: keep, reuse, remove or nothing."""

    key: str
    name: str
    fate: str


def old_labels(project: Project) -> dict[str, list[Claim]]:
    """Return the claims by old label, in the project's order: feeders, circuits, legs."""
    found: dict[str, list[Claim]] = {}
    for section in ("feeders", "circuits"):
        for key, entry in getattr(project, section).items():
            at = f"{section}.{key}"
            legs = [(f"{at}.legs.{leg.id}", leg) for leg in getattr(entry, "legs", {}).values()]
            for path, one in [(at, entry), *legs]:
                if one.old_label:
                    fate = one.aboard or entry.aboard
                    name = entry.name or key
                    found.setdefault(one.old_label, []).append(Claim(key=path, name=name, fate=str(fate or "")))
    return found
