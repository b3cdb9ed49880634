"""What is aboard already: whether a thing stays, is used again or comes out."""

from __future__ import annotations

from enum import StrEnum


class Existing(StrEnum):
    """What happens with something that is already aboard."""

    KEEP = "keep"
    REUSE = "reuse"
    REMOVE = "remove"


class Aboard:
    """Something that may be aboard already."""

    __slots__ = ()
    aboard: Existing | None

    @property
    def is_new(self) -> bool:
        """Whether it is still to be bought or made."""
        return self.aboard is None

    @property
    def stays(self) -> bool:
        """Whether it is aboard already and is kept or used again."""
        return self.aboard in (Existing.KEEP, Existing.REUSE)

    @property
    def is_removed(self) -> bool:
        """Whether it is aboard and comes out."""
        return self.aboard == Existing.REMOVE
