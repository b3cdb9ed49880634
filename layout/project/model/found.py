"""What was found aboard before anything was planned: old wires by the labels they carry."""

from __future__ import annotations

from layout.light_dataclass import dataclass
from layout.project.model.edge import Note


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundWire:
    """One wire of an as-found list, in the words of whoever looked.

    A feeder, circuit or leg takes it up with ``old_label`` and says with ``aboard`` what becomes of it.

    Attributes
    ----------
    label
        Label it carries.
    from_, to, colour, size, note
        As found (``from_`` is written ``from``); empty is not known.
    """

    label: str
    from_: str = ""
    to: str = ""
    colour: str = ""
    size: str = ""
    note: Note = ""
