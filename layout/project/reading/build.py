"""The tree as frozen values of the model; what does not fit is reported where it stands, in the file's own words."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import fields
from enum import Enum
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.edge import TextError, TextMark
from layout.project.reading import spec, unfit
from layout.project.reading.tree import Items, Key, Leaf, TableNode, Tree, plain_values
from layout.quantity import Number, OutOfRangeError, QuantityError, QuantityKind, WireSize

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.findings import Finding


PLAIN_TEXT = TextMark()
"""Bounds of texts that say none of their own."""


class _Refused(Exception):  # noqa: N818  (no error: what is wrong is among the findings)
    """An entry can't be built; the reason is among the findings."""


@dataclass(slots=True)
class Builder:
    """Builds values from one tree.

    Attributes
    ----------
    root
        The tree that findings are located in.
    open_sections
        Sections whose entries may leave open what a whole entry must say (types that devices build on).
    findings
        All that does not fit; each fault is reported, none stops the others.
    """

    root: TableNode
    open_sections: Sequence[str] = ()
    findings: list[Finding] = field(default_factory=list)

    def build(self, kind: type) -> Any | None:
        """Return the whole tree as one value of a record type, or None if anything in it does not fit."""
        try:
            return self._record(self.root, kind, ())
        except _Refused:
            return None

    def _value(self, tree: Tree, kind: Any, key: Key) -> Any:
        is_nothing = isinstance(tree, Leaf) and tree.value is None
        if is_nothing and spec.takes_nothing(kind):
            return None
        if spec.takes_one(kind) and not isinstance(tree, Items) and not is_nothing:
            items, _any_number = spec.listed(kind) or ((kind,), True)
            return (self._value(tree, items[0], key),)
        if isinstance(tree, Leaf):
            return self._scalar(tree, kind, key)
        if isinstance(tree, Items):
            return self._list(tree, kind, key)
        value_kind = spec.mapped(kind)
        if value_kind is not None:
            return self._mapping(tree, value_kind, key)
        records = [one for one in map(spec.record, spec.choices(kind)) if one is not None]
        if not records:
            return self._scalar(tree, kind, key)
        best = max(records, key=lambda record: sum(name in spec.keys(record) for name in tree.members))
        return self._record(tree, best, key)

    def _scalar(self, tree: Tree, kind: Any, key: Key) -> Any:
        """Return what one of the kind's alternatives makes of the entry; the first that takes it wins."""
        error: QuantityError | TextError | None = None
        for one in spec.choices(kind):
            try:
                return _read(tree, one)
            except (QuantityError, TextError) as reason:
                error = reason
            except _Refused:
                pass
        raise self._refused(unfit.unfit_value(self.root, key, kind, tree, error))

    def _list(self, tree: Items, kind: Any, key: Key) -> Any:
        found = spec.listed(kind)
        if found is None:
            return self._scalar(tree, kind, key)
        kinds, any_number = found
        if not any_number and len(tree.items) != len(kinds):
            raise self._refused(unfit.unfit_value(self.root, key, kind, tree, None))
        entries = enumerate(tree.items)
        return tuple(self._all((item, kinds[0] if any_number else kinds[at], (*key, at)) for at, item in entries))

    def _mapping(self, tree: TableNode, kind: Any, key: Key) -> Any:
        entries = ((member.value, kind, (*key, name)) for name, member in tree.members.items())
        return FrozenMap(zip(tree.members, self._all(entries, named=True), strict=True))

    def _all(self, entries: Iterable[tuple[Tree, Any, Key]], *, named: bool = False) -> list[Any]:
        """Build several entries, so that the faults of all of them are known before the first one counts."""
        done, is_whole = [], True
        for tree, kind, key in entries:
            try:
                if named and isinstance(tree, TableNode) and (record := spec.record(kind)) is not None:
                    done.append(self._record(tree, record, key, key[-1]))
                else:
                    done.append(self._value(tree, kind, key))
            except _Refused:
                is_whole = False
        if not is_whole:
            raise _Refused
        return done

    def _record(self, tree: TableNode, record: type, key: Key, id_: str | int | None = None) -> Any:
        """Build a record; as entry of a table it gets its key as id, and as name where it has none."""
        known = spec.keys(record)
        values: dict[str, Any] = {}
        meant, is_whole = set(), True
        short = spec.short(record)
        for name, member in tree.members.items():
            if name in short and name not in known:  # what could not be written out
                is_whole = False
                self._tried(member.value, short[name], (*key, name))
                continue
            if name not in known:
                finding, near = unfit.unknown_key(self.root, record, (*key, name))
                self.findings.append(finding)
                meant.add(near)
                continue
            try:
                values[known[name][0]] = self._value(member.value, known[name][1], (*key, name))
            except _Refused:
                is_whole = False
        for name in spec.needed(record):
            if name not in tree.members:
                is_whole = False
                if name not in meant and not set(short) & set(tree.members):
                    self.findings.append(unfit.missing_key(self.root, (*key, name), known[name][1]))
        is_open = len(key) == 2 and key[0] in self.open_sections
        if not is_whole and not is_open:
            raise _Refused
        if id_ is not None:
            own = {one.name for one in fields(record)}
            values |= {"id": id_} if "id" in own else {}
            values |= {"name": values.get("name") or id_} if "name" in own else {}
        try:
            return record(**values)
        except ValueError as reason:
            if is_open:
                return None
            raise self._refused(unfit.unfit_record(self.root, key, reason)) from None

    def _tried(self, tree: Tree, kind: Any, key: Key) -> None:
        """Report what does not fit in an entry that no value is made of."""
        with suppress(_Refused):
            self._value(tree, kind, key)

    def _refused(self, finding: Finding) -> _Refused:
        self.findings.append(finding)
        return _Refused()


def value_fits(leaf: Leaf, kind: Any) -> bool:
    """Tell whether a value can be read as a type, be it in range or not."""
    items = spec.listed(kind)
    for one in items[0] if items is not None and spec.takes_one(kind) else spec.choices(kind):
        try:
            _read(leaf, one)
        except OutOfRangeError:
            return True
        except (QuantityError, TextError, _Refused):
            continue
        return True
    return False


def _read(tree: Tree, one: Any) -> Any:
    """Read an entry as one scalar type.

    Raises
    ------
    QuantityError, TextError
        If it is no such quantity or number, or no such text.
    _Refused
        If it is something else.
    """
    mark = next((mark for mark in spec.marks(one) if isinstance(mark, QuantityKind)), None)
    if mark is not None:
        return mark.read(plain_values(tree))
    if one is WireSize:
        return WireSize.read(plain_values(tree))
    bound = next((mark for mark in spec.marks(one) if isinstance(mark, Number | TextMark)), None)
    if isinstance(bound, Number):
        number = _read(tree, get_args(one)[0])
        bound.check(number, what=spec.expected(one), shown=tree.text if isinstance(tree, Leaf) else number)
        return number
    if bound is not None:
        one = get_args(one)[0]
    if not isinstance(tree, Leaf) or tree.value is None:
        raise _Refused
    value = tree.text if spec.is_text(one) and isinstance(tree.value, bool | int | float) else tree.value
    match: list[Any]
    if get_origin(one) is Literal:
        match = [word for word in get_args(one) if type(word) is type(value) and word == value]
    elif isinstance(one, type) and issubclass(one, Enum):
        match = [member for member in one if member.value == value]
    elif isinstance(one, type) and issubclass(one, str):
        match = [spec.spec_text(one, (bound or PLAIN_TEXT).read(value))] if isinstance(value, str) else []
    elif one is float:
        match = [float(value)] if isinstance(value, int | float) and not isinstance(value, bool) else []
    else:
        match = [value] if type(value) is one else []
    if not match:
        raise _Refused
    return match[0]
