"""The CP-SAT model behind the planner of a backbone.

Stations are nodes of a circuit through one more node that stands for "outside"; where it enters and leaves are the two
ends. The flow leaving a station forwards (signed, in LEN) follows from the loads, and the fall of voltage from flow
and length along each arc that is used; both are linear because each arc has its own length.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal

from layout.exact_solver import cp_model
from layout.light_dataclass import dataclass
from layout.network.bus_planning.bus_problem import AGAIN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.network.bus_planning.bus_problem import CourseProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer of the model.

    Attributes
    ----------
    stations
        Spots in order with the devices hung there; None without an answer.
    tap, before_tap
        Spot of the power tap, and the devices that hang at that spot before it.
    bound
        Proven least cost of the model, mm.
    """

    status: Literal["found", "none exists", "not found"]
    stations: tuple[tuple[str, tuple[str, ...]], ...] | None = None
    tap: str = ""
    before_tap: frozenset[str] = frozenset()
    bound: int = 0
    optimal: bool = False


class Model:
    """The model of one problem; answers may be cut off one by one."""

    def __init__(
        self, problem: CourseProblem, *, electrical: bool, most_mm: int | None = None, least_mm: int | None = None
    ) -> None:
        self.problem = problem
        self.electrical = electrical
        self.model = cp_model.CpModel()
        self.spots = problem.spots
        self.used = {s: self.model.new_bool_var(f"used {s}") for s in self.spots}
        self.tap = {s: self.model.new_bool_var(f"tap {s}") for s in problem.feeds_mm}
        self.hung = {h.id: {s: self.model.new_bool_var(f"{h.id} at {s}") for s in h.drops_mm} for h in problem.hooks}
        self.before: dict[tuple[str, str], cp_model.IntVar] = {}
        self.arcs = {
            pair: self.model.new_bool_var(f"{pair[0]} to {pair[1]}")
            for pair in problem.between_mm
            if pair[0] != pair[1] and self._allowed(*pair)
        }
        self.first = {s: self.model.new_bool_var(f"first {s}") for s in self.spots}
        self.last = {s: self.model.new_bool_var(f"last {s}") for s in self.spots}
        self._hang()
        self._course()
        length = sum(problem.between_mm[pair] * arc for pair, arc in self.arcs.items())
        drops = {h.id: sum(mm * self.hung[h.id][s] for s, mm in h.drops_mm.items()) for h in problem.hooks}
        joints = problem.joint_mm * sum(self.used[s] for s in self.spots if s not in problem.block)
        feed = sum(mm * self.tap[s] for s, mm in problem.feeds_mm.items())
        self.model.add(length <= problem.limits.backbone_mm)
        self.model.add(sum(drops.values()) <= problem.limits.drops_mm)
        course = sum(problem.course_cost_mm(*pair) * arc for pair, arc in self.arcs.items())
        cost = course + sum(drops.values()) + joints + feed
        self.model.minimize(cost)
        if most_mm is not None:
            self.model.add(cost <= most_mm)
        if least_mm is not None:
            self.model.add(cost >= least_mm)
        if electrical:
            self._reach(drops)
            self._electrical()

    def _allowed(self, start: str, end: str) -> bool:
        """Keep a built block in order: inside it only neighbours are joined, forwards; its ends reach outside."""
        block = self.problem.block
        if start in block and end in block:
            return block.index(end) == block.index(start) + 1
        leaves_inside = start in block and start != block[-1] and start != block[0]
        enters_inside = end in block and end != block[0] and end != block[-1]
        backwards = len(block) > 1 and (start == block[0] or end == block[-1])
        return not (leaves_inside or enters_inside or backwards)

    def _hang(self) -> None:
        self.model.add_exactly_one(self.tap.values())
        for places in self.hung.values():
            self.model.add_exactly_one(places.values())
        for spot in self.spots:
            here = [places[spot] for places in self.hung.values() if spot in places]
            here += [self.tap[spot]] if spot in self.tap else []
            for literal in here:
                self.model.add_implication(literal, self.used[spot])
            if spot in self.problem.block:
                self.model.add(self.used[spot] == 1)
            else:
                self.model.add_bool_or([*here, ~self.used[spot]])

    def _course(self) -> None:
        number = {spot: index + 1 for index, spot in enumerate(self.spots)}
        circuit = []
        for spot, index in number.items():
            circuit += [(index, index, ~self.used[spot]), (0, index, self.first[spot]), (index, 0, self.last[spot])]
        circuit += [(number[start], number[end], arc) for (start, end), arc in self.arcs.items()]
        self.model.add_circuit(circuit)
        for start, end in pairwise(self.problem.block):
            self.model.add(self.arcs[start, end] == 1)
        if len(self.problem.block) < 2:
            ends = [sum(number[s] * literal[s] for s in self.spots) for literal in (self.first, self.last)]
            self.model.add(ends[0] <= ends[1])

    def _reach(self, drops: Mapping[str, Any]) -> None:
        """Longer drops count for the tails: every way between two tips stays within the backbone's limit."""
        limit = self.problem.limits.backbone_mm
        longest = max((mm for hook in self.problem.hooks for mm in hook.drops_mm.values()), default=0)
        if (len(self.spots) - 1) * max(self.problem.between_mm.values(), default=0) + 2 * longest <= limit:
            return
        at = {s: self.model.new_int_var(0, limit, f"at {s}") for s in self.spots}
        for spot in self.spots:
            self.model.add(at[spot] == 0).only_enforce_if(self.first[spot])
        for (start, end), arc in self.arcs.items():
            self.model.add(at[end] == at[start] + self.problem.between_mm[start, end]).only_enforce_if(arc)
        length = self.model.new_int_var(0, limit, "length")
        tips: list[tuple[Any, Any]] = [(0, 0), (length, 0)]
        for spot in self.spots:
            self.model.add(length == at[spot]).only_enforce_if(self.last[spot])
        for hook in self.problem.hooks:
            own = self.model.new_int_var(0, limit, f"at {hook.id}")
            for spot, literal in self.hung[hook.id].items():
                self.model.add(own == at[spot]).only_enforce_if(literal)
            tips.append((own, drops[hook.id]))
        for index, (one, drop) in enumerate(tips):
            for other, other_drop in tips[index + 1 :]:
                self.model.add(one - other + drop + other_drop <= limit)
                self.model.add(other - one + drop + other_drop <= limit)

    def _electrical(self) -> None:
        problem, limits = self.problem, self.problem.limits
        lens = {hook.id: hook.load_units for hook in problem.hooks}
        side = limits.side_lens
        into = {s: self.model.new_int_var(-side, side, f"into {s}") for s in self.spots}
        out = {s: self.model.new_int_var(-side, side, f"out of {s}") for s in self.spots}
        fall = {s: self.model.new_int_var(0, limits.fall, f"fall at {s}") for s in self.spots}
        for spot in self.spots:
            here = [(h, self.hung[h.id][spot]) for h in problem.hooks if spot in h.drops_mm]
            load = sum(h.load_units * literal for h, literal in here)
            tap = self.tap.get(spot)
            self.model.add(out[spot] == into[spot] - load + (problem.load_units * tap if tap is not None else 0))
            self.model.add(into[spot] == 0).only_enforce_if(self.first[spot])
            self.model.add(out[spot] == 0).only_enforce_if(self.last[spot])
            self.model.add(into[spot] == 0).only_enforce_if(~self.used[spot])
            for hook, literal in here:
                own = hook.load_units * problem.drop_steps * hook.drops_mm[spot]
                self.model.add(fall[spot] + own <= limits.fall).only_enforce_if(literal)
            if tap is None:
                continue
            start = problem.feed_steps * problem.load_units * problem.feeds_mm[spot]
            self.model.add(fall[spot] == start).only_enforce_if(tap)
            for hook, literal in here:
                own = start + hook.load_units * (problem.drop_steps * hook.drops_mm[spot] + problem.tap_steps)
                if own > limits.fall:
                    self.model.add_bool_or([~tap, ~literal])
                before = self.model.new_bool_var(f"{hook.id} before the tap at {spot}")
                self.model.add_implication(before, literal)
                self.model.add_implication(before, tap)
                self.before[hook.id, spot] = before
            left = sum(lens[hook.id] * self.before[hook.id, spot] for hook, _ in here)
            self.model.add(left - into[spot] <= side).only_enforce_if(tap)
            self.model.add(out[spot] + load - left <= side).only_enforce_if(tap)
        for (start_spot, end), arc in self.arcs.items():
            self.model.add(into[end] == out[start_spot]).only_enforce_if(arc)
            steps = problem.course_steps(start_spot, end) * out[start_spot]
            self.model.add(fall[end] == fall[start_spot] + steps).only_enforce_if(arc)
        self._reopen(into, out)

    def _reopen(self, into: Mapping[str, Any], out: Mapping[str, Any]) -> None:
        """Open a place a second time only where it is open, and only on the other side of the tap."""
        for spot in self.spots:
            again = spot + AGAIN
            if again not in self.used:
                continue
            self.model.add_implication(self.used[again], self.used[spot])
            first = self.model.new_bool_var(f"{spot} before the tap")
            for before, after, literal in ((spot, again, first), (again, spot, ~first)):
                self.model.add(out[before] <= 0).only_enforce_if([self.used[again], literal])
                self.model.add(into[after] >= 0).only_enforce_if([self.used[again], literal])

    def solve(self, *, work: float, seed: int) -> Answer:
        """Search for the least cost within a limit on work; one worker, so that the answer is always the same."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = work
        solver.parameters.linearization_level = 1 if self.electrical else 2
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            return Answer(status="none exists")
        bound = round(solver.best_objective_bound)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Answer(status="not found", bound=max(bound, 0))
        after = {start: end for (start, end), arc in self.arcs.items() if solver.value(arc)}
        here = next(spot for spot in self.spots if solver.value(self.first[spot]))
        stations = []
        while True:
            hung = tuple(h for h, places in self.hung.items() if here in places and solver.value(places[here]))
            stations.append((here, hung))
            if here not in after:
                break
            here = after[here]
        return Answer(
            status="found",
            stations=tuple(stations),
            tap=next(spot for spot, literal in self.tap.items() if solver.value(literal)),
            before_tap=frozenset(hook for (hook, _), literal in self.before.items() if solver.value(literal)),
            bound=bound,
            optimal=status == cp_model.OPTIMAL,
        )

    def cut_off(self, answer: Answer) -> None:
        """Forbid one answer: the same course with the same devices at each station, tap and sides."""
        literals: list[Any] = [self.tap[answer.tap]]
        spots = [spot for spot, _ in answer.stations or ()]
        literals += [self.arcs[pair] for pair in pairwise(spots)]
        literals += [self.hung[device][spot] for spot, devices in answer.stations or () for device in devices]
        literals += [
            literal if hook in answer.before_tap else ~literal
            for (hook, spot), literal in self.before.items()
            if spot == answer.tap and hook in dict(answer.stations or ())[spot]
        ]
        self.model.add_bool_or([~literal for literal in literals])
