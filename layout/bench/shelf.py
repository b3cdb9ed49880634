"""Devices for the panel: taken from the catalogue, or drawn by their size in a form that the model describes."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.project.catalogue import entries
from layout.project.model.device import Device
from layout.project.reading import spec
from layout.project.reading.doctext import attribute_texts
from layout.project.reading.nodes import scalar

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.bench.workbench import Workbench

DRAWN = (
    "name", "panel", "face.rect", "cutout.rect", "behind.depth", "plug_room.depth", "front_height", "size_from",
)  # fmt: skip
"""What is asked of a device that is drawn by its size, by key; words, units and choices come from the model."""

TAKEN = ("name", "panel", "type")
"""What is asked of one that is taken from the catalogue."""

PARTS = {"rect": ("width", "height")}
"""Names of the figures of a key that has several."""


def shelf_data(bench: Workbench) -> dict[str, Any]:
    """Return what there is to take, and what the forms ask."""
    return {
        "catalogue": [
            {"type": entry.name, "about": entry.about, "source": f"{entry.source} ({entry.basis})"}
            for entry in entries().values()
        ],
        "panels": [{"id": key, "name": panel.name or key} for key, panel in bench.project.panels.items()],
        "drawn": [_field(key) for key in DRAWN],
    }


def _field(key: str) -> dict[str, Any]:
    """Return one field of a form, as the model describes it."""
    record: type = Device
    *owners, last = key.split(".")
    for step in owners:
        kind = spec.keys(record)[step][1]
        items = spec.listed(kind)
        inner = spec.record(items[0][0]) if items else spec.record(kind)
        record = inner or record
    kind = spec.keys(record)[last][1]
    return {
        "key": key,
        "parts": list(PARTS.get(last, ())),
        "expected": spec.expected(kind),
        "choices": list(spec.spec_words(kind)),
        "about": attribute_texts(record).get(spec.keys(record)[last][0], ""),
    }


def add_device(bench: Workbench, said: Mapping[str, Any]) -> None:
    """Write a new device into the project file; it waits on the shelf until it is placed.

    Parameters
    ----------
    said
        Texts by key, as the form asks them; a list of texts for a key of several figures, empty ones are left out.

    Raises
    ------
    RefusedError
        If a key is not asked for, or the file could not be read with what is said.
    """
    values = _values(said)
    name = values.get("name")
    if not isinstance(name, str):
        raise RefusedError("give it a name")
    table: dict[str, Any] = {"name": name}
    for key in ("type", "panel", "size_from", "front_height"):
        if key in values:
            table[key] = values[key]
    if "face.rect" in values:
        table["face"] = {"rect": values["face.rect"]}
    if "cutout.rect" in values:
        table["cutout"] = {"rect": values["cutout.rect"]}
    elif "type" not in values:
        table["mount"] = "surface"
    if "behind.depth" in values:
        behind = values.get("cutout.rect", values.get("face.rect"))
        table["behind"] = {"shape": {"rect": behind}, "depth": values["behind.depth"]}
    if "plug_room.depth" in values:
        table["plug_room"] = {"depth": values["plug_room.depth"]}
    id_ = new_id(name, bench.project.devices)
    bench.edit({f"devices.{id_}": table}, words=f"add {name}")


def _values(said: object) -> dict[str, Any]:
    if not isinstance(said, dict):
        raise RefusedError("say what the device is, key by key")
    for key in said:
        if key not in (*DRAWN, *TAKEN):
            raise RefusedError(f"'{key}' is not asked for here")
    read = {key: _value(text) for key, text in said.items()}
    return {key: value for key, value in read.items() if value is not None}


def _value(text: object) -> Any:
    """Return what a field says: a figure, a text, a list of them; None where nothing is said."""
    if isinstance(text, list):
        figures = [_value(part) for part in text[:4]]
        return figures if any(figure is not None for figure in figures) else None
    if not isinstance(text, str) or len(text) > 300:
        raise RefusedError("that is no text")
    return scalar(text.strip(), plain=re.fullmatch(r"[\d.+-]+", text.strip()) is not None) or None


def new_id(name: str, taken: Mapping[str, object] | Sequence[str]) -> str:
    """Return an id made of a name, in letters that every file takes, and of none that is there already."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "_", letters).strip("_")[:40] or "entry"
    stem = stem if stem[0].isalpha() else f"n{stem}"
    number = 2
    id_ = stem
    while id_ in taken:
        id_, number = f"{stem}_{number}", number + 1
    return id_
