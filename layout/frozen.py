"""A mapping that nobody can write to, so that a frozen value stays frozen all the way down and can be hashed."""

from __future__ import annotations

from typing import NoReturn, TypeVar

K = TypeVar("K")
V = TypeVar("V")


class FrozenMap(dict[K, V]):
    """A mapping in the order it was made in, read as quickly as a dict; equal to any mapping with the same content.

    Raises
    ------
    TypeError
        On every attempt to write.
    """

    __slots__ = ()

    def __hash__(self) -> int:  # type: ignore[override]
        """Hash the content; the order takes no part, as in comparisons."""
        return hash(frozenset(self.items()))

    def __reduce__(self) -> tuple[type[FrozenMap[K, V]], tuple[dict[K, V]]]:
        """Return what a copy is made of."""
        return FrozenMap, (dict(self),)

    def _refuse(self, *_: object, **__: object) -> NoReturn:
        raise TypeError("a frozen mapping can't be changed; make a new one")

    __setitem__ = __delitem__ = __ior__ = _refuse
    clear = pop = popitem = setdefault = update = _refuse
