"""The two yardsticks: CP-SAT with one NoOverlap2D, and the heuristics of rectpack, on plain boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.stage_result import UNITS_OF_CPSAT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.cpsat.model import ExactModel
    from layout.placing.engine.problem import Problem
    from tests.benchmarks.placing.panels import Panel

Size = tuple[int, int]


def free_size(panel: Panel) -> Size:
    """Return the region between the edges, grown by one gap, into which the grown devices go."""
    return panel.width - 2 * panel.edge + panel.gap, panel.height - 2 * panel.edge + panel.gap


def grown(panel: Panel) -> list[Size]:
    """Return the devices' sizes with the gap on one side each way."""
    return [(w + panel.gap, h + panel.gap) for w, h in panel.sizes]


def plain_model(problem: Problem) -> ExactModel:
    """Return the plain model of a problem: rooms, and one NoOverlap2D of the devices grown by the gap."""
    from layout.placing.engine.cpsat import hard_part
    from layout.placing.engine.cpsat.model import ExactModel

    model = ExactModel(problem)
    for k, item in enumerate(problem.items):
        hard_part._item(model, k, item)
    hard_part._cores(model)
    return model


def no_overlap(panel: Panel, limit_s: float) -> bool:
    """Say whether CP-SAT with one NoOverlap2D, two workers, places a made panel in about so many processor seconds."""
    return no_overlap_boxes(grown(panel), free_size(panel), limit_s, turned=False)


def no_overlap_boxes(sizes: Sequence[Size], frame: Size, limit_s: float, *, turned: bool) -> bool:
    """Say whether CP-SAT with one NoOverlap2D and two workers places boxes in about so many processor seconds."""
    from layout.exact_solver import cp_model

    model = cp_model.CpModel()
    along_x, along_y = [], []
    for k, (w, h) in enumerate(sizes):
        if turned and w != h:
            turn = model.new_bool_var(f"t{k}")
            width, height = w + (h - w) * turn, h + (w - h) * turn
        else:
            width, height = w, h
        x, y = model.new_int_var(0, frame[0], f"x{k}"), model.new_int_var(0, frame[1], f"y{k}")
        right, top = model.new_int_var(0, frame[0], f"r{k}"), model.new_int_var(0, frame[1], f"u{k}")
        along_x.append(model.new_interval_var(x, width, right, f"i{k}"))
        along_y.append(model.new_interval_var(y, height, top, f"j{k}"))
    model.add_no_overlap_2d(along_x, along_y)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = limit_s / UNITS_OF_CPSAT
    return solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def rectpack_fits(panel: Panel) -> bool:
    """Say whether one of rectpack's heuristics places a made panel."""
    return rectpack_boxes(grown(panel), free_size(panel), turned=False)


def rectpack_boxes(sizes: Sequence[Size], frame: Size, *, turned: bool) -> bool:
    """Say whether one of rectpack's heuristics, over its sorting orders, places all boxes."""
    import rectpack

    heuristics = (
        rectpack.MaxRectsBssf,
        rectpack.MaxRectsBaf,
        rectpack.MaxRectsBlsf,
        rectpack.MaxRectsBl,
        rectpack.SkylineMwfl,
        rectpack.SkylineBlWm,
        rectpack.GuillotineBssfSas,
        rectpack.GuillotineBafLlas,
    )
    orders = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI, rectpack.SORT_DIFF)
    for heuristic in heuristics:
        for order in orders:
            packer = rectpack.newPacker(pack_algo=heuristic, sort_algo=order, rotation=turned)
            for w, h in sizes:
                packer.add_rect(w, h)
            packer.add_bin(*frame)
            packer.pack()
            if len(packer) and len(packer[0]) == len(sizes):
                return True
    return False
