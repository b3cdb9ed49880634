"""What names an entry and what names an end of a conductor, as values that are text as well.

Both compare, sort, hash and print as the text that stands in the files, so that a set of ends or the subjects of a
finding are plain text to whoever only carries them on; whoever looks at their parts need not take the text apart.
"""

from __future__ import annotations

from typing import ClassVar, Self


class EntryKey(str):
    """An entry of the project by its section and its id; as text ``section.id``.

    Attributes
    ----------
    section
        ``devices``, ``circuits``, ``energy.banks``.
    id
        Key that the entry stands under; ids hold no dot.
    """

    __slots__ = ("id", "section")
    section: str
    id: str

    def __new__(cls, section: str, id_: str) -> Self:
        """Join section and id."""
        made = super().__new__(cls, f"{section}.{id_}")
        made.section, made.id = section, id_
        return made

    @classmethod
    def read(cls, text: str) -> EntryKey:
        """Take the text of a key apart: the id is what stands behind the last dot."""
        section, _, id_ = text.rpartition(".")
        return cls(section, id_)

    def inner(self, *steps: str | int) -> str:
        """Return the dotted path of something inside the entry: ``devices.radio`` and ``body, 0``."""
        return ".".join((self, *map(str, steps)))

    def __reduce__(self) -> tuple[type[EntryKey], tuple[str, str]]:
        """Return what a copy is made of."""
        return EntryKey, (self.section, self.id)


class End(str):
    """An end of a conductor: its owner and one of the owner's terminals; as text ``owner/terminal`` or ``owner``.

    Attributes
    ----------
    owner
        Id of a supply, switch, bus bar, distribution panel, device or place.
    terminal
        ``+``, ``in``, ``7`` (a way); empty where any or the only one is meant.
    """

    __slots__ = ("owner", "terminal")
    owner: str
    terminal: str

    def __new__(cls, owner: str, terminal: str = "") -> Self:
        """Join owner and terminal."""
        made = super().__new__(cls, f"{owner}/{terminal}" if terminal else owner)
        made.owner, made.terminal = owner, terminal
        return made

    @classmethod
    def read(cls, text: str) -> End:
        """Take the text of an end apart."""
        owner, _, terminal = text.partition("/")
        return cls(owner, terminal)

    def __reduce__(self) -> tuple[type[End], tuple[str, str]]:
        """Return what a copy is made of."""
        return End, (self.owner, self.terminal)


def owner_of(key: str) -> EntryKey:
    """Return the entry that a dotted path lies in: ``devices.radio`` of ``devices.radio.body.0``."""
    steps = key.split(".")
    depth = 2 if steps[0] == "energy" else 1
    return EntryKey(".".join(steps[:depth]), ".".join(steps[depth : depth + 1]))


class Entry:
    """An entry of one of the project's sections, named by the key it stands under."""

    __slots__ = ()
    SECTION: ClassVar[str]
    id: str

    @property
    def key(self) -> EntryKey:
        """Where it stands: ``devices.radio``."""
        return EntryKey(self.SECTION, self.id)
