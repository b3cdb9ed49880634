"""Files for machines: a panel's cut lines on layers of plain names, with kerf, tabs and lettering."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.glyphs import text_outlines
from layout.drawing.elements.label_placing import LINE_PITCH_PER_CAP, LabelWish, place_labels
from layout.drawing.elements.metrics import ASCENT_PER_CAP
from layout.drawing.elements.scene import Group, Item, Scene, StrokePath, Text
from layout.drawing.panel.holes import holes
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.rebates import rebates
from layout.drawing.paper.stamp import INVENTED, cutting_errors, is_withheld, overprint, panel_subjects
from layout.geometry.offset import offset
from layout.geometry.path import Path
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from layout.drawing.elements.label_placing import PlacedLabel
    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.findings import Finding
    from layout.geometry.path import Segment
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

MOST_DRILL_MM = 13.0
"""Round holes up to this go on the layer ``drill``, at their nominal size and never offset."""

_LINE = pens.Pen(name="machine", width_mm=0.1)


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineFile:
    """A panel for a machine, the datum at the origin; or the errors that withhold it.

    Attributes
    ----------
    texts
        Names and words as letters, on a layer of their own in DXF, besides the strokes that are engraved.
    too_small
        Marks of cut-outs that the tool does not fit into; they are on the layer ``reference``.
    """

    scene: Scene | None
    texts: tuple[Item, ...] = ()
    datum: tuple[float, float] = (0.0, 0.0)
    withheld: tuple[Finding, ...] = ()
    too_small: tuple[str, ...] = ()

    def dxf(self) -> str:
        """Return the DXF text, the datum at 0, 0.

        Raises
        ------
        ValueError
            The file is withheld.
        """
        from layout.drawing.writers.dxf import dxf_text  # checking a project writes none

        scene = self._scene()
        items = (*scene.items, Group(self.texts, name="text", layer="text"))
        group = Group(items, dx_mm=-self.datum[0], dy_mm=-self.datum[1])
        return dxf_text(Scene(width_mm=scene.width_mm, height_mm=scene.height_mm, items=(group,), title=scene.title))

    def svg(self) -> str:
        """Return the SVG text in real millimetres, paths only; the datum is the lower left corner of its page.

        Raises
        ------
        ValueError
            The file is withheld.
        """
        from layout.drawing.writers.svg import svg_text  # checking a project writes none

        return svg_text(self._scene())

    def _scene(self) -> Scene:
        if self.scene is None:
            raise ValueError(f"withheld by {', '.join(f.rule for f in self.withheld)}: {self.withheld[0].message}")
        return self.scene


def machine_file(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    kerf_mm: float | None = None,
    tabs: int = 0,
    tab_mm: float = 4.0,
    engrave: bool = False,
    findings: Iterable[Finding] = (),
) -> MachineFile:
    """Return a panel's cut lines for a laser, router or mill, as seen from the front.

    Parameters
    ----------
    kerf_mm
        Width the tool removes; lines move by half of it into the waste, exactly. None takes the workshop's.
    tabs, tab_mm
        How many bridges stay in every cut line, and how wide; lines are open there.
    engrave
        Letter every device's legend (its name where it has none) on free sheet beside its face.
    findings
        A geometry error among them withholds the file; any other error about holes is written across it.

    Raises
    ------
    ValueError
        A kerf, number or width of tabs is negative.
    """
    kerf = (project.workshop.kerf or 0.0) if kerf_mm is None else kerf_mm
    if kerf < 0 or tabs < 0 or not tab_mm > 0:
        raise ValueError(f"kerf and tabs are not negative, got kerf {kerf:g} mm, {tabs} tabs of {tab_mm:g} mm")
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    if is_withheld(errors, panel_subjects(project, panel_id)):
        return MachineFile(scene=None, withheld=errors)
    shapes = panel_shapes(project, arrangement, panel_id)
    layers: dict[str, list[Path]] = {"cut": [], "drill": [], "engrave": [], "reference": []}
    too_small = _sort_holes(holes(shapes), layers, kerf)
    for step in rebates(shapes):
        if step.confirmed and not step.done:
            layers.setdefault("rebate", []).extend(_offset(step.path, -kerf / 2))
        else:
            layers["reference"].append(step.path)
    if shapes.panel.work_state == "open":
        layers["cut"] += _offset(shapes.outline, kerf / 2)
    else:
        layers["reference"].append(shapes.outline)
    if tabs:
        layers["cut"] = [piece for path in layers["cut"] for piece in with_tabs(path, tabs, tab_mm)]
    if engrave:
        layers["engrave"] += lettering(shapes)
    box = shapes.box
    dx, dy = -box.x0, -box.y0
    items: list[Item] = [
        Group(tuple(StrokePath(path, _LINE) for path in paths), name=layer, layer=layer, dx_mm=dx, dy_mm=dy)
        for layer, paths in layers.items()
    ]
    if errors:
        words = overprint(box, "NOT FOR CUTTING").items
        items.append(Group(words, name="not-for-cutting", layer="reference", dx_mm=dx, dy_mm=dy))
    scene = Scene(
        width_mm=box.width,
        height_mm=box.height,
        items=tuple(items),
        title=f"{project.project.name}: {shapes.name}, rev. {project.project.revision}"
        + (f". {INVENTED}" if project.project.example else ""),
    )
    return MachineFile(
        scene=scene, datum=(dx + box.x0, dy + box.y0), too_small=tuple(too_small),
        texts=(Group(tuple(_texts(project, shapes, kerf)), dx_mm=dx, dy_mm=dy),),
    )  # fmt: skip


def _texts(project: Project, shapes: PanelShapes, kerf_mm: float) -> Iterator[Item]:
    """Yield each device's name at its centre, and below the panel what the lines are."""
    for device in shapes.devices:
        yield Text(device.face.bounds().centre, f"{device.number}: {device.name}", 3.5, "centre", "middle")
    for step in rebates(shapes):
        box = step.path.bounds()
        yield Text((box.x0, box.y1 + 1.5), f"{step.mark}: {step.words}", 3.5)
    box = shapes.box
    made = f"Kerf of {kerf_mm:g} mm is in the lines." if kerf_mm else "Lines are the finished edge."
    words = [f"{made} The radius of a router bit is left to the CAM. Datum 0, 0 at the lower left, mm."]
    if project.project.example:
        words.append(INVENTED)
    for row, content in enumerate(words):
        yield Text((box.x0, box.y0 - 8.0 - 6.0 * row), content, 3.5)


def too_narrow(found: Iterable[Hole], kerf_mm: float) -> tuple[Hole, ...]:
    """Return the cut-outs that a tool of this width does not fit into."""
    return tuple(
        hole
        for hole in found
        if not hole.done and hole.confirmed and not _is_drilled(hole) and not _offset(hole.path, -kerf_mm / 2)
    )


def with_tabs(path: Path, count: int, width_mm: float) -> list[Path]:
    """Return a closed path opened by ``count`` bridges at equal distances; a path too short for them stays closed."""
    length = path.length()
    if length < 2 * count * width_mm:
        return [path]
    pitch = length / count
    gaps = [(pitch * (index + 0.5) - width_mm / 2, pitch * (index + 0.5) + width_mm / 2) for index in range(count)]
    pieces = [_stretch(path, end, gaps[index + 1][0]) for index, (_, end) in enumerate(gaps[:-1])]
    last = [*_stretch(path, gaps[-1][1], length).segments, *_stretch(path, 0.0, gaps[0][0]).segments]
    return [*pieces, Path(tuple(last), closed=False)]


def _stretch(path: Path, low_mm: float, high_mm: float) -> Path:
    """Return the part of a path between two distances from its start."""
    kept: list[Segment] = []
    walked = 0.0
    for segment in path.segments:
        length = segment.length()
        low, high = max(low_mm - walked, 0.0) / length, min(high_mm - walked, length) / length
        if high - low > 1e-9:
            kept.append(segment if (low, high) == (0.0, 1.0) else segment.part(low, high))
        walked += length
    return Path(tuple(kept), closed=False)


def _sort_holes(found: Sequence[Hole], layers: dict[str, list[Path]], kerf_mm: float) -> list[str]:
    """Put every hole on its layer; return the marks of those the tool does not fit into."""
    narrow = too_narrow(found, kerf_mm)
    for hole in found:
        if hole.done or not hole.confirmed or hole in narrow:
            layers["reference"].append(hole.path)
        elif _is_drilled(hole):
            layers["drill"].append(hole.path)
        else:
            layers["cut"] += _offset(hole.path, -kerf_mm / 2)
    return [hole.mark for hole in narrow]


def _is_drilled(hole: Hole) -> bool:
    return hole.diameter_mm is not None and hole.diameter_mm <= MOST_DRILL_MM


def _offset(path: Path, by_mm: float) -> list[Path]:
    if by_mm == 0:
        return [path.counter_clockwise()]
    return [ring for region in offset(path, by_mm) for ring in (region.outer, *region.holes)]


def lettering(shapes: PanelShapes) -> list[Path]:
    """Return outlines of the lettering."""
    placed, _ = names_engraved(shapes)
    rings: list[Path] = []
    for label in placed:
        height = label.wish.height_mm
        top = label.box.y1 - ASCENT_PER_CAP * height + height / 2
        for row, words in enumerate(label.wish.lines):
            at = (label.box.centre[0], top - row * height * LINE_PITCH_PER_CAP)
            rings += text_outlines(words, height, at=at, align="centre")
    return rings


def names_engraved(shapes: PanelShapes) -> tuple[list[PlacedLabel], tuple[str, ...]]:
    """Return where names are engraved beside the faces, and those that found no free room."""
    taken = [d.face.bounds() for d in shapes.devices]
    taken += [path.bounds() for path, _ in (*shapes.no_go, *shapes.old_holes)]
    wishes = [
        LabelWish(
            lines=device.device.legend or (device.name,),
            at=device.face.bounds().centre,
            height_mm=3.5,
            clear_mm=min(device.face.bounds().width, device.face.bounds().height) / 2,
        )
        for device in shapes.devices
    ]
    placed, homeless = place_labels(wishes, room=shapes.box.grown(-3.0), taken=taken, reach_mm=120)
    return placed, tuple(" ".join(wish.lines) for wish in homeless)
