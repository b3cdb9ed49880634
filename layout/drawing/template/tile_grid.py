"""Page arithmetic of a tiled template: windows, seams, blank tiles. Draws nothing."""

from __future__ import annotations

from itertools import count, product
from math import ceil
from typing import TYPE_CHECKING

from layout.drawing.paper.drawing_sheets import Sheet, sheet
from layout.drawing.template.true_scale import BAR_MM
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layout.drawing.template.true_scale import MeasuredPrinter

STRIP_LEFT_MM = 10.0
STRIP_BOTTOM_MM = 22.0
LEAST_STEP_MM = 20.0
SEAM_STEP_MM = 1.0
SEAM_CLEAR_MM = 2.0
"""Room that a seam keeps to a cut where it can."""
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


def plan_tiles(box: Box, page: Page, is_blank: Callable[[Box], bool], cuts: Sequence[Box] = ()) -> Grid:
    """Return the tiles that cover ``box``, so that the fewest are printed and the fewest seams cross a cut.

    Tried are grids of equal steps, shifted, and one whose seams are each led past cuts as far as the paper allows.

    Parameters
    ----------
    is_blank
        Whether nothing of the template lies in a cell.
    cuts
        Boxes of the cut-outs and holes, in panel mm; a seam through one counts, a tile more counts before it.
    """
    across, up = page.window.width, page.window.height
    grids = [
        _grid(
            page, _even(box.x0, box.x1, across, page.overlap_mm, share_x),
            _even(box.y0, box.y1, up, page.overlap_mm, share_y), is_blank,
        )
        for share_x in SHIFTS
        for share_y in SHIFTS
    ]  # fmt: skip
    led_x = _led(box.x0, box.x1, across, page.overlap_mm, [(cut.x0, cut.x1) for cut in cuts])
    led_y = _led(box.y0, box.y1, up, page.overlap_mm, [(cut.y0, cut.y1) for cut in cuts])
    grids.append(_grid(page, led_x, led_y, is_blank))
    return min(_of_fewest_tiles(grids), key=lambda grid: seams_crossed(grid, cuts))


def _of_fewest_tiles(grids: Sequence[Grid]) -> list[Grid]:
    fewest = min(len(grid.tiles) for grid in grids)
    return [grid for grid in grids if len(grid.tiles) == fewest]


def seams_crossed(grid: Grid, cuts: Sequence[Box]) -> int:
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
    printer: MeasuredPrinter,
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
        grids.append(plan_tiles(box, page, is_blank, cuts))
    if not grids:
        raise failures[0]
    return min(_of_fewest_tiles(grids), key=lambda grid: (seams_crossed(grid, cuts), grid.rows * grid.columns))


def _grid(
    page: Page, xs: Sequence[_Stretch], ys: Sequence[_Stretch], is_blank: Callable[[Box], bool]
) -> Grid:  # fmt: skip
    tiles: dict[tuple[int, int], Tile] = {}
    blank = []
    rows = len(ys)
    for row in range(1, rows + 1):
        up = ys[rows - row]
        for column, across in enumerate(xs, start=1):
            window = Box(across.low, up.low, across.low + page.window.width, up.low + page.window.height)
            cell = Box(across.start, up.start, across.end, up.end)
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


@dataclass(frozen=True, slots=True)
class _Stretch:
    """One way of a tile: low edge of its window, and from which seam to which its own cell goes."""

    low: float
    start: float
    end: float


def _even(low: float, high: float, window_mm: float, overlap_mm: float, share: float) -> list[_Stretch]:
    """Return windows at equal steps that cover ``low`` to ``high``; ``share`` of the spare paper lies before it."""
    step, count = _steps(low, high, window_mm, overlap_mm)
    first = low - (count * step + overlap_mm - (high - low)) * share
    return _between([first + overlap_mm / 2 + at * step for at in range(1, count)], first, window_mm, overlap_mm)


def _steps(low: float, high: float, window_mm: float, overlap_mm: float) -> tuple[float, int]:
    """Return the step of windows laid as far apart as may be, and how many cover ``low`` to ``high``."""
    step = window_mm - overlap_mm
    return step, max(1, ceil((high - low - overlap_mm) / step - 1e-9))


def _between(seams: Sequence[float], first: float, window_mm: float, overlap_mm: float) -> list[_Stretch]:
    """Return the windows between seams; the first begins at ``first``, each other half an overlap before its seam."""
    half = overlap_mm / 2
    lows = [first, *(seam - half for seam in seams)]
    ends = [*seams, lows[-1] + window_mm]
    return [_Stretch(low, start, end) for low, start, end in zip(lows, [first, *seams], ends, strict=True)]


def _led(
    low: float, high: float, window_mm: float, overlap_mm: float, cuts: Sequence[tuple[float, float]]
) -> list[_Stretch]:  # fmt: skip
    """Return as few windows as cover ``low`` to ``high``, each seam where it crosses the fewest cuts.

    Two windows lie over each other by the overlap at least. Among seams that cross as few the evenly spaced ones are
    taken (dynamic programming over places :data:`SEAM_STEP_MM` apart).
    """
    step, count = _steps(low, high, window_mm, overlap_mm)
    half, even = overlap_mm / 2, (high - low) / count
    best: dict[float, tuple[tuple[int, float], tuple[float, ...]]] = {low: ((0, 0.0), ())}
    for number in range(1, count):
        middle = low + even * number
        down, up = ((tiles * (step - even) + half) / SEAM_STEP_MM for tiles in (count - number, number))
        places = [middle + at * SEAM_STEP_MM for at in range(-int(down), int(up) + 1)]
        after: dict[float, tuple[tuple[int, float], tuple[float, ...]]] = {}
        for place in places:
            through = sum(a - SEAM_CLEAR_MM < place < b + SEAM_CLEAR_MM for a, b in cuts)
            ways = [
                ((cost[0] + through, cost[1] + abs(place - middle)), (*seams, place))
                for before, (cost, seams) in best.items()
                if LEAST_STEP_MM <= place - before <= step + (half if number == 1 else 0.0) + 1e-9
                and (number < count - 1 or high - place <= step + half + 1e-9)
            ]
            if ways:
                after[place] = min(ways)
        best = after
    seams = min(best.values())[1] if best else ()
    if len(seams) != count - 1:
        return _even(low, high, window_mm, overlap_mm, SHIFTS[0])
    first = seams[0] + half - window_mm if seams else low - (window_mm - (high - low)) / 2
    return _between(seams, first, window_mm, overlap_mm)


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
