"""JSON Schemas for editors, from the model; ``python -m layout.project.reading.schema`` writes them to schemas/."""

from __future__ import annotations

import json
import sys
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from layout.project import register, seal
from layout.project.model.device import Device
from layout.project.model.edge import TextMark
from layout.project.model.project_file import ProjectFile
from layout.project.reading import spec
from layout.project.reading.build import PLAIN_TEXT
from layout.project.reading.doctext import attribute_texts
from layout.quantity import EXAMPLES, WIRE_SIZE_PATTERN, Bounds, Number, QuantityKind, WireSize, written_pattern

if TYPE_CHECKING:
    from collections.abc import Mapping

DRAFT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


def schemas() -> dict[str, str]:
    """Return each schema's file name and text."""
    project, shelf, memory = _whole(ProjectFile), _whole(Device), _whole(register.Register)
    types = {"Device": {key: value for key, value in _record(Device, {}).items() if key != "required"}}
    project["$defs"] |= types  # what a device must say may come from its type
    types = {**shelf["$defs"], **types}
    shelf = _table({"shelf": {"type": "object", "additionalProperties": {"$ref": "#/$defs/Device"}}}) | {"$defs": types}
    part = {key: value for key, value in project.items() if key != "required"}
    version = {
        "spile_register": {"type": "integer", "minimum": 1, "maximum": register.VERSION},
        seal.KEY: {"type": "string"},
    }
    memory |= {"properties": {**version, **memory["properties"]}, "required": ["spile_register"]}
    return {
        "project.schema.json": _text("A spile project file", project),
        "part.schema.json": _text("A file that a spile project includes", part),
        "shelf.schema.json": _text("A shelf of devices for spile projects", shelf),
        "register.schema.json": _text("A spile register (machine-written)", memory),
    }


def write(folder: Path) -> None:
    """Write all schemas into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (folder / name).write_text(text, encoding="utf-8")


def _whole(record: type) -> Schema:
    """Return the schema of a record with those of all records in it."""
    held: dict[str, Schema] = {}
    made = _record(record, held)
    return {**made, "$defs": held}


def _record(record: type, held: dict[str, Schema]) -> Schema:
    texts = attribute_texts(record)
    properties = {}
    for one in fields(record):
        if not spec.is_written(record, one.name):
            continue
        key = one.name.rstrip("_")
        kind = spec.keys(record)[key][1]
        default = {} if one.default in (MISSING, None) or _is_inside_unit(kind) else {"default": one.default}
        text = {"description": texts[one.name]} if one.name in texts else {}
        properties[key] = {**_kind(kind, held), **default, **text}
    for key, kind in spec.short(record).items():
        properties[key] = {**_kind(kind, held), **({"description": texts[key]} if key in texts else {})}
    needed_keys = [key for key in spec.needed(record) if key not in spec.filled(record)]
    needed = {"required": needed_keys} if needed_keys else {}
    about = (record.__doc__ or "").strip().partition("\n")[0]
    return {**_table(properties), "title": record.__name__, "description": about, **needed}


def _table(properties: Mapping[str, Schema]) -> Schema:
    return {"type": "object", "additionalProperties": False, "properties": properties}


def _is_inside_unit(kind: Any) -> bool:
    """Tell whether a default is a bare number that nobody may write so: 150.0 stands for 150 mm."""
    marks = [mark for one in spec.choices(kind) for mark in spec.marks(one) if isinstance(mark, QuantityKind)]
    return any(not mark.bare for mark in marks)


def _kind(kind: Any, held: dict[str, Schema]) -> Schema:
    """Return the schema of what may stand in one place."""
    ways = _ways(kind, held)
    if spec.takes_nothing(kind):
        ways.append({"type": "null"})
    return ways[0] if len(ways) == 1 else {"anyOf": ways}


def _ways(kind: Any, held: dict[str, Schema]) -> list[Schema]:
    """Return the alternatives of what may stand in one place, without nothing at all."""
    ways = [way for one in spec.choices(kind) for way in _choice(one, held)]
    if spec.takes_one(kind):
        items, _any_number = spec.listed(kind) or ((kind,), True)
        ways = [_kind(items[0], held), *ways]
    return ways


def _choice(one: Any, held: dict[str, Schema]) -> list[Schema]:
    mark = next((mark for mark in spec.marks(one) if isinstance(mark, QuantityKind)), None)
    if mark is not None:
        return _quantity(mark)
    if one is WireSize:
        return [{"type": "string", "examples": ["2.5 mm2", "14 AWG", "14 SAE"], "pattern": WIRE_SIZE_PATTERN}]
    if get_origin(one) is Literal:
        words = list(get_args(one))
        return [{"enum": words, "type": "string" if isinstance(words[0], str) else "integer"}]
    if isinstance(one, type) and issubclass(one, Enum):
        about = (one.__doc__ or "").partition("\n")[0]
        words = [member.value for member in one]
        held[one.__name__] = {"enum": words, "type": "string", "title": one.__name__, "description": about}
        return [{"$ref": f"#/$defs/{one.__name__}"}]
    if is_dataclass(one) and isinstance(one, type):
        if one.__name__ not in held:
            held[one.__name__] = {}
            held[one.__name__] = _record(one, held)
        short = [way for key in spec.bare(one) for way in _ways(spec.keys(one)[key][1], held)]
        return [*short, {"$ref": f"#/$defs/{one.__name__}"}]
    if (value := spec.mapped(one)) is not None:
        return [{"type": "object", "additionalProperties": _kind(value, held)}]
    if (listed := spec.listed(one)) is not None:
        kinds, any_number = listed
        if any_number:
            return [{"type": "array", "items": _kind(kinds[0], held)}]
        size = {"minItems": len(kinds), "maxItems": len(kinds)}
        return [{"type": "array", "prefixItems": [_kind(part, held) for part in kinds], **size}]
    bound = next((mark for mark in spec.marks(one) if isinstance(mark, Number | TextMark)), None)
    if isinstance(bound, Number):
        return [{**_choice(get_args(one)[0], held)[0], **_limits(bound)}]
    if bound is not None or issubclass(one, str):
        return [{"type": "string", "maxLength": (bound or PLAIN_TEXT).most}]
    return [{"type": {bool: "boolean", int: "integer", float: "number"}[one]}]


def _quantity(mark: QuantityKind) -> list[Schema]:
    examples = EXAMPLES[mark.name].split(" or ")
    written: Schema = {"type": "string", "examples": examples, "pattern": written_pattern(mark.name, bare=mark.bare)}
    if said := mark.in_words(mark.unit):
        written["description"] = said
    return [{"type": "number", **_limits(mark)}, written] if mark.bare else [written]


def _limits(bounds: Bounds) -> Schema:
    rows = (("exclusiveMinimum", bounds.above), ("minimum", bounds.least), ("maximum", bounds.most))
    return {name: bound for name, bound in rows if bound is not None}


def _text(title: str, schema: Schema) -> str:
    return json.dumps({"$schema": DRAFT, **schema, "title": title}, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "schemas"))
