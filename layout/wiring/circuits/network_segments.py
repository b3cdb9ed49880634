"""Cables of the instrument buses and antenna leads in the schedule: numbered like any wire, laid by their own plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.wiring.circuits.segments import Lead, WireSegment

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.project.model.aboard import Existing


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkCable:
    """One cable whose way and length are settled already.

    Attributes
    ----------
    key
        Names it inside its owner, and keeps its number: ``antennas.radio``, ``networks.main:drop depth``.
    start, end
        Its two ends: a device, ``place/part`` of a bus, or ``bus/part`` where the part's place is not known.
    cable, made
        Its kind in words, and what that kind is called for short: ``mid``, ``RG-213``.
    plug_words
        What is on both of its ends.
    od_mm
        None where its diameter is not known.
    wireways, length_mm
        Its way, and its whole length; None where not known.
    plug_mm
        Plug that stays on it while it is pulled; None where none does.
    bend_radius_mm
        None where its bends are judged by whoever lays it.
    """

    key: str
    name: str
    run_class: Literal["data", "antenna"]
    start: str
    end: str
    cable: str
    made: str
    plug_words: str
    od_mm: float | None
    wireways: tuple[str, ...]
    length_mm: float | None = None
    plug_mm: float | None = None
    bend_radius_mm: float | None = None
    aboard: Existing | None = None


def network_segments(cables: Iterable[NetworkCable]) -> Iterator[WireSegment]:
    """Yield one segment for each cable; all its cores are one conductor of the schedule."""
    for cable in cables:
        owner = cable.key.partition(":")[0]
        lead = Lead(pole=cable.run_class, start=cable.start, end=cable.end, start_node=cable.start, end_node=cable.end)
        yield WireSegment(
            key=cable.key,
            owner=owner,
            owner_kind="network" if owner.startswith("networks.") else "antenna",
            name=cable.name,
            purpose="instrument bus" if cable.run_class == "data" else "antenna",
            run_class=cable.run_class,
            ac=False,
            nominal_v=None,
            leads=(lead,),
            cable=cable.cable,
            wireways=cable.wireways,
            length_mm=cable.length_mm,
            aboard=cable.aboard,
            laid=cable,
        )
