"""JSON Schemas for editors, from the model; ``python -m layout.project.reading.schema`` writes them to schemas/."""

from __future__ import annotations

import json
import sys
from dataclasses import is_dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from layout.project import register
from layout.project.model.device import Device
from layout.project.reading import read, spec
from layout.project.reading.doctext import attribute_texts

if TYPE_CHECKING:
    from collections.abc import Iterator

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schemas() -> dict[str, str]:
    """Return each schema's file name and text."""
    project = _cleaned(read.adapter().json_schema())
    project["$defs"]["Device"].pop("required", None)
    shelf = _cleaned(TypeAdapter(dict[str, Device]).json_schema())
    shelf = {
        "type": "object",
        "additionalProperties": False,
        "properties": {"shelf": {key: value for key, value in shelf.items() if key != "$defs"}},
        "$defs": shelf["$defs"],
    }
    memory = _cleaned(register.adapter().json_schema())
    memory["properties"] = {"spile_register": {"type": "integer", "maximum": register.VERSION}, **memory["properties"]}
    memory["required"] = ["spile_register"]
    return {
        "project.schema.json": _text("A spile project file", project),
        "shelf.schema.json": _text("A shelf of devices for spile projects", shelf),
        "register.schema.json": _text("A spile register (machine-written)", memory),
    }


def write(folder: Path) -> None:
    """Write all schemas into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (folder / name).write_text(text, encoding="utf-8")


def _cleaned(schema: dict[str, Any]) -> dict[str, Any]:
    """Give keys as files write them, and drop what the reader fills."""
    records = {kind.__name__: kind for kind in _records(read.ProjectFile)} | {
        kind.__name__: kind for kind in _records(register.Register)
    }
    for name, part in [(schema.get("title", ""), schema), *schema.get("$defs", {}).items()]:
        record = records.get(name)
        if record is None or "properties" not in part:
            continue
        known = {field: key for key, (field, _) in spec.keys(record).items()}
        texts = attribute_texts(record)
        part["description"] = (record.__doc__ or "").strip().partition("\n")[0]
        part["properties"] = {
            known[field]: _described(value, texts.get(field))
            for field, value in part["properties"].items()
            if field in known
        }
        required = [known[field] for field in part.get("required", ()) if field in known]
        part.pop("required", None)
        if required:
            part["required"] = required
        part["additionalProperties"] = False
    return schema


def _described(schema: dict[str, Any], text: str | None) -> dict[str, Any]:
    kept = {key: value for key, value in schema.items() if key not in ("title", "description")}
    kinds = {part.get("type") for part in (schema, *schema.get("anyOf", ()))}
    default = kept.get("default")
    is_inside_unit = isinstance(default, int | float) and not kinds & {"number", "integer", "boolean"}
    if default is None or is_inside_unit:  # 150.0 stands for 150 mm, which nobody may write without its unit
        kept.pop("default", None)
    return {**kept, "description": text} if text else kept


def _records(kind: Any) -> Iterator[type]:
    """Give every record type that a type holds, itself included."""
    todo, seen = [kind], set()
    while todo:
        current = todo.pop()
        for one in spec.choices(current):
            inner = spec.mapped(one)
            items = spec.listed(one)
            todo.extend([inner] if inner is not None else items[0] if items else ())
            if is_dataclass(one) and isinstance(one, type) and one not in seen:
                seen.add(one)
                yield one
                todo.extend(hint for _, hint in spec.keys(one).values())


def _text(title: str, schema: dict[str, Any]) -> str:
    return json.dumps({"$schema": DRAFT, **schema, "title": title}, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "schemas"))
