"""Page arithmetic of a tiled template: windows, seams, blank tiles. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count, product
from math import ceil
from typing import TYPE_CHECKING

from layout.drawing.paper.drawing_sheets import Sheet, sheet
from layout.drawing.template.true_scale import BAR_MM
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layout.drawing.template.true_scale import Measured

STRIP_LEFT_MM = 10.0
STRIP_BOTTOM_MM = 22.0
LEAST_STEP_MM = 20.0
SHIFTS = (0.5, 0.0, 1.0, 0.25, 0.75)
"""Shares of the spare paper that lie before the panel, in the order in which they are tried."""
PAPERS = ("A4", "A3", "Letter", "Legal", "Tabloid")


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """How one printed page is divided, in true mm on paper (after the printer's error is taken out).

    Attributes
    ----------
    window
        Where the template is shown; left of it and below stand bars, map and name.
    """

    paper: Sheet
    margin_mm: float
    overlap_mm: float

    def __post_init__(self) -> None:
        window = self.window
        if min(window.width, window.height) - self.overlap_mm < LEAST_STEP_MM:
            raise ValueError(
                f"{self.paper.name} with {self.margin_mm:g} mm margin and {self.overlap_mm:g} mm overlap leaves no room"
            )

    @property
    def window(self) -> Box:
        """The window on the page."""
        paper, margin = self.paper, self.margin_mm
        return Box(
            margin + STRIP_LEFT_MM,
            margin + STRIP_BOTTOM_MM,
            max(paper.width_mm - margin, margin + STRIP_LEFT_MM),
            max(paper.height_mm - margin, margin + STRIP_BOTTOM_MM),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One tile: row from the top, column from the left, both from 1; its window and its own cell in panel mm.

    The cell ends in the middle of each overlap; cells cover the panel without overlapping.
    """

    row: int
    column: int
    window: Box
    cell: Box

    @property
    def name(self) -> str:
        """``row/column``."""
        return f"{self.row}/{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where two printed tiles meet: a letter, and the line from ``start`` to ``end`` in panel mm.

    ``under`` is the lower or left tile, the other one is cut and laid over it.
    """

    letter: str
    under: Tile
    over: Tile
    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def upright(self) -> bool:
        """Whether the seam runs up."""
        return self.start[0] == self.end[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """All tiles of a panel on one kind of page.

    Attributes
    ----------
    tiles
        Those that are printed, in reading order.
    blank
        Names of those left out.
    """

    page: Page
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    blank: tuple[str, ...]
    seams: tuple[Seam, ...]


def plan(box: Box, page: Page, is_blank: Callable[[Box], bool], cuts: Sequence[Box] = ()) -> Grid:
    """Return the tiles that cover ``box``, shifted so that the fewest are printed and the fewest seams cross a cut.

    Parameters
    ----------
    is_blank
        Whether nothing of the template lies in a cell.
    cuts
        Boxes of the cut-outs and holes, in panel mm; a seam through one counts, a tile more counts before it.
    """
    grids = [_grid(box, page, (share_x, share_y), is_blank) for share_x in SHIFTS for share_y in SHIFTS]
    return min(grids, key=lambda grid: (len(grid.tiles), crossed(grid, cuts)))


def crossed(grid: Grid, cuts: Sequence[Box]) -> int:
    """Return how many times a seam of a grid goes through the box of a cut-out or hole."""
    return sum(_meets(seam, cut) for seam in grid.seams for cut in cuts)


def _meets(seam: Seam, cut: Box) -> bool:
    (x0, y0), (x1, y1) = seam.start, seam.end
    return x0 < cut.x1 and x1 > cut.x0 and y0 < cut.y1 and y1 > cut.y0


def choose_page(
    box: Box,
    paper: str,
    *,
    margin_mm: float,
    overlap_mm: float,
    printer: Measured,
    is_blank: Callable[[Box], bool],
    cuts: Sequence[Box] = (),
) -> Grid:
    """Return the tiles on upright or lengthways paper, whichever takes fewer.

    Parameters
    ----------
    printer
        What its bars measured: the paper in true mm is so much larger or smaller than its name says.
    """
    grids = []
    failures = []
    for landscape in (False, True):
        named = sheet(paper, landscape=landscape)
        bars = printer.turned if landscape else printer
        true = Sheet(
            name=paper,
            width_mm=named.width_mm * bars.across_mm / BAR_MM,
            height_mm=named.height_mm * bars.up_mm / BAR_MM,
        )
        try:
            page = Page(paper=true, margin_mm=margin_mm, overlap_mm=overlap_mm)
        except ValueError as error:
            failures.append(error)
            continue
        grids.append(plan(box, page, is_blank, cuts))
    if not grids:
        raise failures[0]
    return min(grids, key=lambda grid: (len(grid.tiles), crossed(grid, cuts), grid.rows * grid.columns))


def _grid(box: Box, page: Page, shares: tuple[float, float], is_blank: Callable[[Box], bool]) -> Grid:
    xs = _cuts(box.x0, box.x1, page.window.width, page.overlap_mm, shares[0])
    ys = _cuts(box.y0, box.y1, page.window.height, page.overlap_mm, shares[1])
    tiles: dict[tuple[int, int], Tile] = {}
    blank = []
    rows = len(ys)
    for row in range(1, rows + 1):
        low_y = ys[rows - row]
        for column, low_x in enumerate(xs, start=1):
            window = Box(low_x, low_y, low_x + page.window.width, low_y + page.window.height)
            half = page.overlap_mm / 2
            cell = Box(
                window.x0 + (half if column > 1 else 0),
                window.y0 + (half if row < rows else 0),
                window.x1 - (half if column < len(xs) else 0),
                window.y1 - (half if row > 1 else 0),
            )
            tile = Tile(row=row, column=column, window=window, cell=cell)
            if is_blank(cell):
                blank.append(tile.name)
            else:
                tiles[row, column] = tile
    return Grid(
        page=page,
        rows=rows,
        columns=len(xs),
        tiles=tuple(tiles.values()),
        blank=tuple(blank),
        seams=tuple(_seams(tiles)),
    )


def _cuts(low: float, high: float, window_mm: float, overlap_mm: float, share: float) -> list[float]:
    """Return the low edges of the windows that cover ``low`` to ``high``; ``share`` of the spare lies before it."""
    step = window_mm - overlap_mm
    count = max(1, ceil((high - low - overlap_mm) / step - 1e-9))
    spare = count * step + overlap_mm - (high - low)
    return [low - spare * share + index * step for index in range(count)]


def _seams(tiles: dict[tuple[int, int], Tile]) -> Iterator[Seam]:
    letters = _letters()
    for (row, column), tile in tiles.items():
        if right := tiles.get((row, column + 1)):
            x = tile.cell.x1
            yield Seam(letter=next(letters), under=tile, over=right, start=(x, tile.cell.y0), end=(x, tile.cell.y1))
        if below := tiles.get((row + 1, column)):
            y = tile.cell.y0
            yield Seam(letter=next(letters), under=below, over=tile, start=(tile.cell.x0, y), end=(tile.cell.x1, y))


def _letters() -> Iterator[str]:
    """Yield A, B, ... Z, AA, AB, ..., AAA, ... without I and O; Q to T are the corner crosses and left out too."""
    for many in count(1):
        yield from map("".join, product("ABCDEFGHJKLMNPUVWXYZ", repeat=many))
