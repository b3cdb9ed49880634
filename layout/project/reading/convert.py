"""The tree as plain data for the model: keys renamed to fields, text where text is meant, unknown keys reported."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from layout.findings import Finding
from layout.project.reading import spec
from layout.project.reading.spelling import meant, nearest
from layout.project.reading.tree import Items, Key, Leaf, Table, Tree, dotted, place, plain


@dataclass(slots=True)
class Conversion:
    """What conversion leaves beside the data.

    Attributes
    ----------
    findings
        Unknown keys.
    chosen
        Where a type has several alternatives for a table or list: the one taken, by key of the entry.
    meant
        Keys that unknown ones were probably meant for.
    """

    root: Tree
    findings: list[Finding] = field(default_factory=list)
    chosen: dict[Key, Any] = field(default_factory=dict)
    meant: set[Key] = field(default_factory=set)

    def data(self, tree: Tree, kind: Any, key: Key = ()) -> Any:
        """Return the data of one entry as its type asks for it; what doesn't fit the type is left as it is."""
        if spec.takes_one(kind) and not isinstance(tree, Items) and not (isinstance(tree, Leaf) and tree.value is None):
            items, _any_number = spec.listed(kind) or ((kind,), True)
            return [self.data(tree, items[0], key)]
        if isinstance(tree, Leaf):
            is_odd = isinstance(tree.value, bool | int | float)
            return tree.text if is_odd and spec.is_text(kind) else tree.value
        if isinstance(tree, Items):
            return self._list(tree, kind, key)
        value_kind = spec.mapped(kind)
        if value_kind is not None:
            return {name: self.data(member.value, value_kind, (*key, name)) for name, member in tree.members.items()}
        record = self._record(tree, kind, key)
        return plain(tree) if record is None else self._fields(tree, record, key)

    def _list(self, tree: Items, kind: Any, key: Key) -> list[Any]:
        found = spec.listed(kind)
        if found is None:
            return [plain(item) for item in tree.items]
        kinds, any_number = found
        if any(spec.record(one) for one in spec.choices(kind)):
            self.chosen[key] = tuple
        return [
            self.data(item, kinds[0] if any_number else kinds[min(index, len(kinds) - 1)], (*key, index))
            for index, item in enumerate(tree.items)
        ]

    def _record(self, tree: Table, kind: Any, key: Key) -> type | None:
        records = [one for one in map(spec.record, spec.choices(kind)) if one is not None]
        if not records:
            return None
        best = max(records, key=lambda record: sum(name in spec.keys(record) for name in tree.members))
        if len(spec.choices(kind)) > 1:
            self.chosen[key] = best
        return best

    def _fields(self, tree: Table, record: type, key: Key) -> dict[str, Any]:
        known = spec.keys(record)
        data = {}
        for name, member in tree.members.items():
            if name in known:
                field_name, kind = known[name]
                data[field_name] = self.data(member.value, kind, (*key, name))
            else:
                self.findings.append(self._unknown(name, record, (*key, name)))
        return data

    def _unknown(self, name: str, record: type, key: Key) -> Finding:
        known = spec.keys(record)
        at, related = place(self.root, key)
        owner = f"in '{dotted(key[:-1])}'" if len(key) > 1 else "at the top of the file"
        remedy = meant(name, known, what="known keys")
        if name == "id" and spec.has_id(record):
            remedy = f"the id is the name it stands under, '{key[-2]}'; delete this line"
        elif (near := nearest(name, known)) is not None:
            self.meant.add((*key[:-1], near))
        else:
            inside = [outer for outer, (_, kind) in known.items() if name in _inner_keys(kind)]
            remedy = f"'{name}' stands inside {' or '.join(inside)}" if inside else remedy
        return Finding(rule="file 30", message=f"unknown key '{name}' {owner}", at=at, related=related, remedy=remedy)


def _inner_keys(kind: Any) -> set[str]:
    items = spec.listed(kind)
    inner = spec.record(kind) or (spec.record(items[0][0]) if items else None)
    return set(spec.keys(inner)) if inner else set()
