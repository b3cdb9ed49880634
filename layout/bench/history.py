"""What was done on the bench, file by file, so that it can be taken back and done again after a restart too."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.project.editing.writing import write_atomically

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

MOST_CHANGES = 50
_MOST_BYTES = 4_000_000
"""An older history is forgotten from its beginning, so that its file stays small."""


class OvertakenError(Exception):
    """A file was changed by something else since; taking the change back would lose that."""


@dataclass(frozen=True, slots=True)
class _Change:
    """One thing done: in words, and the text of each file it touched before and after; None is no such file."""

    words: str
    before: dict[str, str | None]
    after: dict[str, str | None]


@dataclass(slots=True)
class History:
    """The changes of one project, kept in a file beside it whose name begins with a point.

    Attributes
    ----------
    done, undone
        Oldest first; those taken back, the last of them first to be done again.
    """

    path: Path
    done: list[_Change] = field(default_factory=list)
    undone: list[_Change] = field(default_factory=list)

    @classmethod
    def of(cls, project: Path) -> History:
        """Return the history of a project; an empty one where there is none, or it can't be read."""
        history = cls(project.with_name(f".{project.stem}.bench.json"))
        with suppress(OSError, ValueError, TypeError, KeyError):
            told = json.loads(history.path.read_text(encoding="utf-8"))
            history.done = [_Change(**change) for change in told["done"]]
            history.undone = [_Change(**change) for change in told["undone"]]
        return history

    def texts(self, files: Iterable[str]) -> dict[str, str | None]:
        """Return the text of files beside the project by name, exactly as it is on disk."""
        folder = self.path.parent
        return {name: (folder / name).read_bytes().decode() if (folder / name).exists() else None for name in files}

    def add(self, words: str, before: dict[str, str | None], after: dict[str, str | None]) -> None:
        """Note a change; what had been taken back is forgotten."""
        touched = [name for name in after if before.get(name) != after[name]]
        if touched:
            self.done.append(_Change(words, {n: before.get(n) for n in touched}, {n: after[n] for n in touched}))
            self.undone.clear()
            self._save()

    def back(self) -> _Change:
        """Take the last change back.

        Raises
        ------
        IndexError
            If nothing was done.
        OvertakenError
            If one of its files is not as the change left it.
        """
        change = self.done[-1]
        self._put(change.after, change.before)
        self.undone.append(self.done.pop())
        self._save()
        return change

    def again(self) -> _Change:
        """Do the change again that was taken back last; raises as ``back``."""
        change = self.undone[-1]
        self._put(change.before, change.after)
        self.done.append(self.undone.pop())
        self._save()
        return change

    def _put(self, now: dict[str, str | None], wanted: dict[str, str | None]) -> None:
        if self.texts(now) != now:
            raise OvertakenError("a file was changed by something else since; nothing is taken back")
        for name, text in wanted.items():
            if text is None:
                (self.path.parent / name).unlink(missing_ok=True)
            else:
                write_atomically(self.path.parent / name, text)

    def _save(self) -> None:
        del self.done[:-MOST_CHANGES]
        text = self._text()
        while len(text) > _MOST_BYTES and len(self.done) > 1:
            del self.done[0]
            text = self._text()
        with suppress(OSError):  # the work itself is on disk; only taking it back after a restart is lost
            write_atomically(self.path, text)

    def _text(self) -> str:
        return json.dumps({"done": [asdict(c) for c in self.done], "undone": [asdict(c) for c in self.undone]})
