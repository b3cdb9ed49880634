"""What the page may ask to be done, by name, and the values it gives along."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from layout.bench.figures import set_fuse, set_load
from layout.bench.photograph_laid import lay_photograph, remove_photograph
from layout.bench.remedies import take as take_remedy
from layout.bench.shelf import add_device
from layout.bench.zones import add_zone, remove_zone

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.bench.photograph_laid import LaidSpot
    from layout.bench.workbench import Workbench

Act = Callable[[dict[str, Any]], None]


def acts_of(bench: Workbench) -> Mapping[str, Act]:
    """Return everything that can be done on a bench; each raises as what it calls, or on values that do not fit.

    Raises
    ------
    KeyError, TypeError, ValueError
        By an act, if a value is missing or is none of its kind.
    """
    return {
        "move": lambda a: bench.move(text_of(a, "device"), figure_of(a, "x"), figure_of(a, "y")),
        "stand": lambda a: bench.stand(
            text_of(a, "device"), text_of(a, "panel"), (figure_of(a, "x"), figure_of(a, "y")), int(figure_of(a, "turn"))
        ),
        "zone": lambda a: add_zone(
            bench,
            text_of(a, "kind"),
            text_of(a, "panel"),
            (figure_of(a, "x0"), figure_of(a, "y0"), figure_of(a, "x1"), figure_of(a, "y1")),
            name=text_of(a, "name"),
            layer=text_of(a, "layer"),
        ),
        "remove zone": lambda a: remove_zone(bench, text_of(a, "key")),
        "photograph": lambda a: lay_photograph(bench, text_of(a, "panel"), text_of(a, "file"), spots_of(a, "points")),
        "remove photograph": lambda a: remove_photograph(bench, text_of(a, "panel")),
        "add": lambda a: add_device(bench, a["device"]),
        "turn": lambda a: bench.turn(text_of(a, "device"), int(figure_of(a, "turn"))),
        "swap": lambda a: bench.swap(text_of(a, "device"), text_of(a, "other")),
        "align": lambda a: bench.align(_names_of(a, "devices"), text_of(a, "line"), text_of(a, "to")),
        "distribute": lambda a: bench.distribute(_names_of(a, "devices"), text_of(a, "axis")),
        "pin": lambda a: bench.pin(text_of(a, "device")),
        "unpin": lambda a: bench.unpin(text_of(a, "device")),
        "put back": lambda _: bench.put_back(),
        "undo": lambda _: bench.undo(),
        "redo": lambda _: bench.redo(),
        "choose": lambda a: bench.choose(int(figure_of(a, "number"))),
        "remedy": lambda a: take_remedy(bench, int(figure_of(a, "number"))),
        "set": lambda a: bench.edit({text_of(a, "key"): a.get("value")}),
        "load": lambda a: set_load(bench, text_of(a, "circuit"), text_of(a, "value")),
        "fuse": lambda a: set_fuse(bench, text_of(a, "key"), text_of(a, "value")),
        "solve": lambda a: bench.begin_solve(
            effort=text_of(a, "effort"), keep=_names_of(a, "keep"), alternatives=int(figure_of(a, "alternatives"))
        ),
        "stop": lambda _: bench.stop_solve(),
    }


def text_of(asked: Mapping[str, Any], key: str) -> str:
    """Return a short text of what was asked."""
    value = asked[key]
    if not isinstance(value, str) or len(value) > 300:
        raise ValueError(f"{key} is to be a short text")
    return value


def figure_of(asked: Mapping[str, Any], key: str) -> float:
    """Return a number of what was asked."""
    value = asked[key]
    if isinstance(value, bool) or not isinstance(value, int | float) or not -1e5 < value < 1e5:
        raise ValueError(f"{key} is to be a number")
    return float(value)


def spots_of(asked: Mapping[str, Any], key: str) -> tuple[LaidSpot, ...]:
    """Return three spots of a picture of what was asked: ``pixel`` and ``at``, two numbers each."""
    value = asked[key]
    if not isinstance(value, list) or len(value) != 3 or not all(isinstance(spot, dict) for spot in value):
        raise ValueError(f"{key} is to be three spots")
    return tuple((_pair_of(spot, "pixel"), _pair_of(spot, "at")) for spot in value)


def _pair_of(asked: Mapping[str, Any], key: str) -> tuple[float, float]:
    value = asked[key]
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"{key} is to be two numbers")
    across, along = (figure_of({key: figure}, key) for figure in value)
    return across, along


def _names_of(asked: Mapping[str, Any], key: str) -> tuple[str, ...]:
    """Return a list of names of what was asked; an empty one where none is said."""
    value = asked.get(key, [])
    if not isinstance(value, list) or len(value) > 1000 or not all(isinstance(one, str) for one in value):
        raise ValueError(f"{key} is to be a list of names")
    return tuple(value)
