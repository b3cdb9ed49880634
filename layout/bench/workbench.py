"""One project on the bench: what it looks like, what the judge says, and what is done to it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.bench.open_files import OpenFiles, RefusedError
from layout.bench.picture import panels
from layout.bench.solving import PlacingAsked, Solve
from layout.findings.render import as_json
from layout.frozen import FrozenMap
from layout.placing.judge import judge, judge_moved, refusals
from layout.placing.move import aligned_at, pinned_along, put_at, spaced_at
from layout.placing.provisional_arrangement import in_the_middle
from layout.project.editing.edit import edit_project
from layout.project.editing.lock import release
from layout.project.model.arrangement import Placed
from layout.project.reading.read import read
from layout.project.spoken_language import language_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from layout.bench.remedies import Remedy
    from layout.findings import Finding
    from layout.handover.plan import Plan
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.device import Device
    from layout.project.model.project import Project

MOST_WAITING = 3
"""Placings that may wait for one that goes on."""

_LINES = ("left", "right", "bottom", "top", "centre", "middle")


class Workbench(OpenFiles):
    """A project that is open on the bench.

    What holds all rules is written at once. What does not is shown where it was put, and is kept only here until the
    rules hold again, so that two devices can be moved past each other.

    Raises
    ------
    RefusedError
        If the project or its register can't be used.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.loose: Arrangement | None = None
        self.solve: Solve | None = None
        self.queue: list[PlacingAsked] = []
        self._plan: Plan | None = None
        self._judged: tuple[Project, Arrangement, tuple[Finding, ...]] | None = None

    # --- what it looks like ------------------------------------------------------------------------------------------

    @property
    def arrangement(self) -> Arrangement:
        """Where things stand on the bench: what is loose, else what is chosen, else only what is pinned."""
        return self.loose or self.register.arrangement or self._pinned_alone()

    def _pinned_alone(self) -> Arrangement:
        middles = in_the_middle(self.project)
        pins = {key: device.pin for key, device in self.project.devices.items()}
        given = {key for key, pin in pins.items() if pin is not None and None not in (pin.x, pin.y)}
        return replace(middles, placed=FrozenMap({key: at for key, at in middles.placed.items() if key in given}))

    def state(self) -> dict[str, Any]:
        """Return everything that the page shows, but for the wiring."""
        self.renew()
        self.follow_solve()
        arrangement = self.arrangement
        findings = self._findings()
        waiting = [
            {"id": key, "name": device.name or key, "turn": device.turns[0]}
            for key, device in self.project.devices.items()
            if device.panel and key not in arrangement.placed
        ]
        register = self.register
        return {
            "version": self.version,
            "language": language_of(self.project).code,
            "name": self.project.project.name,
            "revision": self.project.project.revision,
            "example": self.project.project.example,
            "panels": panels(self.project, arrangement),
            "waiting": waiting,
            "findings": as_json((*self._read.findings, *findings)),
            "kept": self.loose is None,
            "chosen": register.arrangement is not None,
            "cost": arrangement.value,
            "by_wish": dict(arrangement.by_wish),
            "proof": arrangement.proof,
            "undo": self.history.done[-1].words if self.history.done else None,
            "redo": self.history.undone[-1].words if self.history.undone else None,
            "proposals": [
                {"number": number, "cost": one.value, "name": getattr(one, "name", "")}
                for number, one in enumerate(register.proposals, start=1)
            ],
            "solving": self._solving(),
        }

    def look(self, device: str, x: float, y: float, turn: int | None = None) -> list[dict[str, Any]]:
        """Return what the judge would say of a device at a place, without putting it there.

        Parameters
        ----------
        x, y
            Where its origin would be, panel coordinates, mm.
        """
        self._placed(device)
        project, there = put_at(self.project, self._turned(self.arrangement, device, turn), device, (x, y))
        return as_json(_about(judge_moved(project, there, [device], self._findings(), chosen=there), device))

    def proposal(self, number: int) -> list[dict[str, Any]]:
        """Return every panel as a proposal of the last placing has it, from 1."""
        proposals = self.register.proposals
        if not 1 <= number <= len(proposals):
            raise RefusedError(f"there is no proposal {number}")
        return panels(self.project, proposals[number - 1])

    def plan(self) -> Plan:
        """Return all that follows from the positions on the bench: wiring, networks, energy, findings."""
        from layout import flow

        self.renew()
        if self._plan is None:
            standing = self.loose or self.register.arrangement
            self._plan = flow.plan(
                self.project, standing, register=self.register, found=self._read.findings, rough=standing is None
            )
        return self._plan

    # --- what is done to it -------------------------------------------------------------------------------------------

    def move(self, device: str, x: float, y: float) -> None:
        """Put a device at a place on its panel."""
        self._may_move(device)
        self._put(f"move {self._name(device)}", {device: (x, y)})

    def turn(self, device: str, turn: int) -> None:
        """Turn a device; refused where it is not made to stand like that."""
        if turn not in self._may_move(device).turns:
            raise RefusedError(f"{self._name(device)} is not to be turned to {turn}°; say turns: if it may")
        self._put(f"turn {self._name(device)}", {}, stands=[replace(self._placed(device), turn=turn)])

    def stand(self, device: str, panel: str, at: tuple[float, float], turn: int) -> None:
        """Put a device on a panel: from the shelf, from another panel, or at another turn."""
        declared = self.project.devices.get(device)
        if declared is None or panel not in declared.panel:
            raise RefusedError(f"no device '{device}' is for a panel '{panel}'")
        if device in self.arrangement.placed:
            self._may_move(device)
        if turn not in declared.turns:
            raise RefusedError(f"{self._name(device)} is not to be turned to {turn}°; say turns: if it may")
        placed = Placed(device=device, panel=panel, x=at[0], y=at[1], turn=turn)
        self._put(f"place {self._name(device)}", {}, stands=[placed])

    def swap(self, first: str, second: str) -> None:
        """Let two devices of one panel change places."""
        a, b = self._placed(first), self._placed(second)
        self._one_panel((first, second))
        self._may_move(first)
        self._may_move(second)
        self._put(f"swap {self._name(first)}", {first: (b.x, b.y), second: (a.x, a.y)})

    def align(self, devices: Sequence[str], line: str, to: str) -> None:
        """Move devices straight to a line of another's face: left, right, bottom, top, centre, middle."""
        if line not in _LINES:
            raise RefusedError(f"'{line}' is no line of a face; one of {', '.join(_LINES)}")
        self._one_panel((*devices, to))
        places = {}
        for device in devices:
            self._may_move(device)
            places[device] = aligned_at(self.project, self.arrangement, device, line, to)  # type: ignore[arg-type]
        self._put(f"align to {self._name(to)}", places)

    def distribute(self, devices: Sequence[str], axis: str) -> None:
        """Leave equal gaps between the faces of three or more devices, the outer two staying where they are."""
        if axis not in ("x", "y") or len(devices) < 3:
            raise RefusedError("three devices or more, along x or y")
        self._one_panel(devices)
        places = spaced_at(self.project, self.arrangement, devices, "x" if axis == "x" else "y")
        for device in places:
            self._may_move(device)
        self._put("even gaps", places)

    def put_back(self) -> None:
        """Let go of what is loose: everything stands again where the register has it."""
        self.loose = None
        self._changed()

    def pin(self, device: str) -> None:
        """Fix a device where it stands, in the project file."""
        placed = self._placed(device)
        said = {"panel": placed.panel, "x": placed.x, "y": placed.y, "turn": placed.turn}
        if len(self.project.devices[device].panel) == 1:
            del said["panel"]
        self.edit({f"devices.{device}.pin": said}, words=f"pin {self._name(device)}")

    def unpin(self, device: str) -> None:
        """Let a device be moved by the solver again."""
        self._placed(device)
        self.edit({f"devices.{device}.pin": None}, words=f"unpin {self._name(device)}")

    def edit(self, settings: Mapping[str, object], *, words: str = "") -> None:
        """Set values of the project by dotted key, or remove them (None); refused whole where it would not read."""

        def change() -> None:
            for key, value in settings.items():
                edit_project(self.path, key, value)
            reading = read(self.path)
            if reading.project is None:
                said = "; ".join(finding.message for finding in reading.findings[:1])
                raise RefusedError(f"with {' and '.join(settings)} like that the file can't be read: {said}")

        self.write(words or f"set {' and '.join(settings)}", change)

    def choose(self, number: int) -> None:
        """Take a proposal of the last placing."""
        proposals = self.register.proposals
        if not 1 <= number <= len(proposals):
            raise RefusedError(f"there is no proposal {number}")
        self.loose = None
        self.save(f"choose {number}", self.register.with_arrangement(proposals[number - 1]))

    def remedy(self, number: int) -> Remedy:
        """Return a change that would make the project fit, of those that the last placing found, from 1.

        Raises
        ------
        RefusedError
            If there is none of that number.
        """
        known = () if self.solve is None else self.solve.remedies
        if not 1 <= number <= len(known):
            raise RefusedError(f"there is no change {number} on offer")
        return known[number - 1]

    def undo(self) -> None:
        """Take back what was done last: what is loose first, then what is in the files."""
        if self.loose is not None:
            self.put_back()
            return
        self._step(self.history.back)

    def redo(self) -> None:
        """Do again what was taken back."""
        self.loose = None
        self._step(self.history.again)

    def begin_solve(self, *, effort: str, keep: Sequence[str], alternatives: int) -> None:
        """Start placing around what stays; while one goes on, the next waits until it has ended."""
        if effort not in ("quick", "normal", "thorough"):
            raise RefusedError("effort is quick, normal or thorough")
        for device in keep:
            self._placed(device)
        asked = PlacingAsked(str(self.path), effort, 1, tuple(keep), max(1, min(alternatives, 6)))
        if self.solve is None or self.solve.ended:
            self.solve = Solve.begin(asked)
        elif len(self.queue) >= MOST_WAITING:
            raise RefusedError(f"{MOST_WAITING} placings wait already; stop them, or wait for them")
        else:
            self.queue.append(asked)

    def stop_solve(self) -> None:
        """End the placing, and keep the best so far; those that wait are not begun."""
        self.queue.clear()
        if self.solve is not None:
            self.solve.stop()

    def close(self) -> None:
        """End what still runs."""
        self.queue.clear()
        if self.solve is not None:
            self.solve.end()
        release()

    def _changed(self) -> None:
        super()._changed()
        self._plan = None
        if self.loose is not None and any(key not in self.project.devices for key in self.loose.placed):
            self.loose = None

    # --- positions ----------------------------------------------------------------------------------------------------

    def _put(self, words: str, places: Mapping[str, tuple[float, float]], *, stands: Sequence[Placed] = ()) -> None:
        project, arrangement = self.project, self.arrangement
        before_it = arrangement.placed
        for placed in stands:
            arrangement = replace(arrangement, placed=FrozenMap({**arrangement.placed, placed.device: placed}))
            project = pinned_along(project, placed)
        places = {**places, **{placed.device: (placed.x, placed.y) for placed in stands}}
        for device, to in places.items():
            project, arrangement = put_at(project, arrangement, device, to)
        from layout.placing.formulation import valued  # what places is not needed to see and to drag

        if all(one.device in before_it and one.panel == before_it[one.device].panel for one in stands):
            findings = judge_moved(project, arrangement, places, self._findings(), chosen=arrangement)
        else:
            findings = judge(project, arrangement, chosen=arrangement)
        if refusals(findings):
            self.loose, self._judged = arrangement, (self.project, arrangement, findings)
            self._changed()
            return
        self.loose = None
        before = self.project

        def change() -> None:
            for device in places:
                pin = project.devices[device].pin
                if pin is not None and pin != before.devices[device].pin:
                    said = {
                        key: value for key in ("panel", "x", "y", "turn") if (value := getattr(pin, key)) is not None
                    }
                    edit_project(self.path, f"devices.{device}.pin", said)
            self.put_register(self.register.with_arrangement(valued(project, arrangement)))

        self.write(words, change)
        if self.project is before:
            self._judged = (before, self.arrangement, findings)

    def _findings(self) -> tuple[Finding, ...]:
        """Return what the judge says of all that stands on the bench, asked once."""
        project, arrangement = self.project, self.arrangement
        if self._judged is None or self._judged[0] is not project or self._judged[1] != arrangement:
            self._judged = (project, arrangement, judge(project, arrangement, chosen=arrangement))
        return self._judged[2]

    def _turned(self, arrangement: Arrangement, device: str, turn: int | None) -> Arrangement:
        if turn is None:
            return arrangement
        placed = {**arrangement.placed, device: replace(arrangement.placed[device], turn=turn)}  # type: ignore[arg-type]
        return replace(arrangement, placed=placed)

    def _placed(self, device: str) -> Any:
        placed = self.arrangement.placed.get(device)
        if placed is None:
            raise RefusedError(f"no device '{device}' stands on a panel")
        return placed

    def _one_panel(self, devices: Sequence[str]) -> None:
        if len({self._placed(device).panel for device in devices}) > 1:
            raise RefusedError("they stand on different panels")

    def _may_move(self, device: str) -> Device:
        from layout.placing.given_positions import is_cut

        self._placed(device)
        declared = self.project.devices[device]
        if is_cut(self.project, declared):
            raise RefusedError(
                f"the hole of {self._name(device)} is cut, so it stays; work_state: planned if it is not"
            )
        return declared

    def _name(self, device: str) -> str:
        return self.project.devices[device].name or device

    # --- placing beside -----------------------------------------------------------------------------------------------

    def follow_solve(self) -> None:
        """Take in what the placing beside has told; once it has ended, its arrangements become proposals."""
        solve = self.solve
        if solve is None or solve.ended:
            return
        solve.look()
        if solve.ended and solve.arrangements:
            self.save("place", self.register.with_proposals(solve.arrangements))
            if self.register.arrangement is None:
                self.choose(1)
        if solve.ended and self.queue:
            self.solve = Solve.begin(self.queue.pop(0))

    def _solving(self) -> dict[str, Any] | None:
        if self.solve is None:
            return None
        return {
            "words": self.solve.words,
            "ended": self.solve.ended,
            "waiting": len(self.queue),
            "found": len(self.solve.arrangements),
            "lines": list(self.solve.lines),
            "remedies": [
                {"number": number, "words": one.words, "settings": [list(pair) for pair in one.written]}
                for number, one in enumerate(self.solve.remedies, start=1)
            ],
        }


def _about(findings: Sequence[Finding], device: str) -> list[Finding]:
    """Return what concerns one device: what the judge refuses of it, and what it remarks."""
    return [finding for finding in findings if f"devices.{device}" in finding.subjects]
