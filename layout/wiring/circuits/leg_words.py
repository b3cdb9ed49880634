"""What a leg of a circuit is called: the user's name for it, else what it does and where; never its id in the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.ends import SOURCE_SIDE, Ends

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.circuits import Leg

DOES = {
    "+": "feed to", "L": "feed to", "switched": "switched feed to", "-": "return of", "N": "return of",
    "PE": "earth of", "bond": "bond of", "sense": "sense wire of", "data": "data of", "antenna": "antenna of",
}  # fmt: skip


def leg_words(ends: Ends, legs: Sequence[Leg]) -> str:
    """Return the name of the legs that lie in one cable, as it stands behind the circuit's name."""
    named = next((leg.name for leg in legs if leg.name not in ("", leg.id)), "")
    if named:
        return named
    does = list(dict.fromkeys(f"{'always-live ' if leg.always_live else ''}{DOES[leg.pole]}" for leg in legs))
    what = does[0] if len(does) == 1 else ", ".join(words.rpartition(" ")[0] for words in does) + " of"
    return f"{what} {ends.name(ends.owner(_far(ends, legs[0])))}"


def _far(ends: Ends, leg: Leg) -> str:
    """Return the end that names a leg: the one that is fed, where the other is a bar, a panel or a source."""
    if ends.kind(ends.owner(leg.to)) in SOURCE_SIDE and ends.kind(ends.owner(leg.from_)) not in SOURCE_SIDE:
        return leg.from_
    return leg.to if leg.pole not in ("-", "N") or ends.kind(ends.owner(leg.from_)) in SOURCE_SIDE else leg.from_
