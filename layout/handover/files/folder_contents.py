"""The list of what belongs to a folder of documents: which step made each file, from what, and its digest.

With it a build leaves alone what nothing reaches, and says what lies there from an earlier one. The documents are their
own store: what is not as the list says is made again.
"""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

CONTENTS_NAME = "contents.json"
_FORM = 2
"""Version of the list's form; a list of another form is taken as none."""


@dataclass(frozen=True, slots=True)
class BuildStep:
    """One step of an earlier build, by digests.

    Attributes
    ----------
    made_from
        Of what it was made from.
    files
        Of each file by its name in the folder.
    whole
        Of the whole plan that was last seen to give ``made_from``: with the same, nothing needs to be looked at.
    """

    made_from: str
    files: Mapping[str, str]
    whole: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderContents:
    """What is listed for a folder.

    Attributes
    ----------
    steps
        Those of this build, by name.
    stale
        Digests of files of earlier builds that nothing makes any more, by name.
    """

    steps: Mapping[str, BuildStep] = field(default_factory=dict)
    stale: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, folder: Path) -> FolderContents:
        """Return what is listed for a folder; nothing where there is no list, or none that can be used."""
        try:
            told = json.loads((folder / CONTENTS_NAME).read_text(encoding="utf-8"))
            if told["form"] != _FORM:
                return cls()
            steps = {
                name: BuildStep(step["from"], _named(step["files"]), step["whole"])
                for name, step in told["steps"].items()
            }
            return cls(steps=steps, stale=_named(told["stale"]))
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return cls()

    def text(self) -> str:
        """Return the list as it is written."""
        steps = {
            name: {"from": step.made_from, "files": dict(step.files), "whole": step.whole}
            for name, step in self.steps.items()
        }
        told = {"form": _FORM, "steps": steps, "stale": dict(self.stale)}
        return json.dumps(told, indent=1, sort_keys=True, ensure_ascii=False) + "\n"

    @property
    def names(self) -> frozenset[str]:
        """Names of all files that are listed."""
        return frozenset(name for files in (self.stale, *(s.files for s in self.steps.values())) for name in files)

    def with_more(self, files: Mapping[str, str]) -> FolderContents:
        """Return the list with files that a build will write, as stale: until it has ended nothing says they belong."""
        more = {name: mark for name, mark in files.items() if name not in self.names}
        return FolderContents(steps=self.steps, stale={**self.stale, **more})

    def as_made(self, step: str, made_from: str, folder: Path) -> Mapping[str, str] | None:
        """Return the files of a step that would make the same again; None where one is not as it was made."""
        known = self.steps.get(step)
        if known is None or known.made_from != made_from:
            return None
        return known.files if all(is_as_listed(folder / name, mark) for name, mark in known.files.items()) else None

    def after(self, made: Mapping[str, BuildStep], folder: Path) -> FolderContents:
        """Return the list after a build: its steps, those it did not do, and what nothing makes any more."""
        steps = {**self.steps, **made}
        now = {name for step in steps.values() for name in step.files}
        earlier = {**self.stale, **{name: mark for step in self.steps.values() for name, mark in step.files.items()}}
        stale = {name: mark for name, mark in earlier.items() if name not in now and (folder / name).is_file()}
        return FolderContents(steps=steps, stale=stale)


def is_as_listed(path: Path, mark: str) -> bool:
    """Tell whether a file is there and has the digest ``mark``."""
    try:
        return sha256(path.read_bytes()).hexdigest() == mark
    except OSError:
        return False


def clean(contents: FolderContents, folder: Path) -> FolderContents:
    """Remove what is stale and return the list without it; what somebody has changed since is left and stays listed.

    Raises
    ------
    OSError
        If a file can't be removed.
    """
    left = {}
    for name, mark in contents.stale.items():
        path = folder / name
        if is_as_listed(path, mark):
            path.unlink()
        else:
            left[name] = mark
    return FolderContents(steps=contents.steps, stale=left)


def content_marks(files: Iterable[tuple[str, bytes]]) -> dict[str, str]:
    """Return the digest of each file's content by its name."""
    return {name: sha256(content).hexdigest() for name, content in files}


def _named(told: Any) -> dict[str, str]:
    """Return digests by name as they were listed.

    Raises
    ------
    ValueError
        If a name leads out of the folder: such a list is not ours.
    """
    found: dict[str, str] = {str(name): str(mark) for name, mark in told.items()}
    for name in found:
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts or "\\" in name or ":" in name or not path.parts:
            raise ValueError(f"'{name}' is no name in the folder")
    return found
