"""A panel made wider or taller: what lies past its middle moves outwards with the edge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.project.model.shape import ArcTo, Corner, Shape

if TYPE_CHECKING:
    from layout.project.model.project import Project


SPANNING = 0.8
"""Share of a panel's size from which on a zone spans it: a batten, a hinge strip, a frame."""


def stretched(project: Project, key: str, *, axis: int, by_mm: float) -> Project:
    """Return a project with one panel stretched along x (axis 0) or y (1) by some millimetres.

    The outline is parted at its middle and the far part is moved; keep-outs that span it grow with it; others,
    openings, depths, compasses and the rest go with the half they lie in. Pins stay where they are.
    """
    panel = project.panels[key]
    box = panel.outline.to_path().bounds()
    middle = box.centre[axis]

    def point(at: tuple[float, ...]) -> Any:
        moved = list(at)
        moved[axis] += by_mm if moved[axis] > middle else 0.0
        return tuple(moved)

    def shape(one: Shape) -> Shape:
        centre = one.to_path().bounds().centre
        at = list(one.at)
        at[axis] += by_mm if centre[axis] > middle else 0.0
        return replace(one, at=(at[0], at[1]))

    def spanning(one: Shape) -> Shape:
        """Return a zone with what it lies on: one that spans the panel grows with it."""
        own = one.to_path().bounds()
        low, high = ((own.x0, own.x1), (own.y0, own.y1))[axis]
        size = (box.width, box.height)[axis]
        return _outline(one, axis, by_mm, middle) if high - low >= SPANNING * size else shape(one)

    def each(table: Any, **how: Any) -> Any:
        return FrozenMap(
            {
                name: replace(entry, **{field: change(getattr(entry, field)) for field, change in how.items()})
                for name, entry in table.items()
            }
        )

    hinge = panel.hinge
    wider = replace(
        panel,
        outline=_outline(panel.outline, axis, by_mm, middle),
        holes=tuple(shape(hole) for hole in panel.holes),
        depth_at=tuple(replace(spot, at=point(spot.at)) for spot in panel.depth_at),
        depth_steps=tuple(replace(step, shape=_outline(step.shape, axis, by_mm, middle)) for step in panel.depth_steps),
        no_go=each(panel.no_go, shape=spanning),
        old_holes=each(panel.old_holes, shape=shape),
        reserved=each(panel.reserved, at=lambda at: at and point(at)),
        compasses=each(panel.compasses, at=point),
        cable_exit=replace(panel.cable_exit, at=point(panel.cable_exit.at)) if panel.cable_exit else None,
        loom=tuple(tuple(point(at) for at in chain) for chain in panel.loom),
        hinge=replace(hinge, obstacles=each(hinge.obstacles, low=point, high=point)) if hinge else None,
    )
    return replace(project, panels=FrozenMap({**project.panels, key: wider}))


def deeper(project: Project, key: str, *, by_mm: float) -> Project:
    """Return a project with more free depth behind one panel, everywhere."""
    panel = project.panels[key]
    more = replace(
        panel,
        depth=None if panel.depth is None else panel.depth + by_mm,
        depth_at=tuple(replace(spot, depth=spot.depth + by_mm) for spot in panel.depth_at),
        depth_steps=tuple(replace(step, depth=step.depth + by_mm) for step in panel.depth_steps),
    )
    return replace(project, panels=FrozenMap({**project.panels, key: more}))


def _outline(shape: Shape, axis: int, by_mm: float, middle: float) -> Shape:
    """Return a shape with the part past the middle moved; a rectangle that lies across the middle grows."""
    if shape.rect and shape.turn % 180 == 0:
        low, high = shape.at[axis] - shape.rect[axis] / 2, shape.at[axis] + shape.rect[axis] / 2
        grow = by_mm if low <= middle < high else 0.0
        size, at = list(shape.rect), list(shape.at)
        size[axis] += grow
        at[axis] += grow / 2 + (by_mm if low > middle else 0.0)
        return replace(shape, rect=(size[0], size[1]), at=(at[0], at[1]))

    def point(at: tuple[float, float]) -> tuple[float, float]:
        moved = list(at)
        moved[axis] += by_mm if moved[axis] + shape.at[axis] > middle else 0.0
        return moved[0], moved[1]

    if shape.polygon and not shape.turn:
        return replace(shape, polygon=tuple(point(at) for at in shape.polygon))
    if shape.path and not shape.turn:
        steps: list[Any] = []
        for step in shape.path:
            if isinstance(step, Corner):
                steps.append(replace(step, at=point(step.at)))
            elif isinstance(step, ArcTo):
                steps.append(replace(step, arc_to=point(step.arc_to), through=point(step.through)))
            else:
                steps.append(point(step))
        return replace(shape, path=tuple(steps))
    if shape.circle or shape.slot or shape.rect or shape.turn:
        centre = shape.to_path().bounds().centre
        at = list(shape.at)
        at[axis] += by_mm if centre[axis] > middle else 0.0
        return replace(shape, at=(at[0], at[1]))
    return shape
