"""How long all drawings of 60 devices over three panels take; run by hand, prints seconds by part.

python tests/benchmarks/drawing/sixty_devices.py
"""

from __future__ import annotations

import time

from layout.drawing.machine import machine_file
from layout.drawing.panel_drawing import panel_drawing
from layout.drawing.pdf import DocumentInfo, pdf_bytes
from layout.drawing.rear_view import rear_drawing
from layout.drawing.svg import svg_text
from layout.drawing.template.build import full_size_template, tiled_template
from layout.drawing.template.check import template_findings
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Body, Device, Fixing, Tail, Terminal
from layout.project.model.panel import Panel, SizeFrom
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape

PANELS, COLUMNS, ROWS, PITCH_MM = 3, 5, 4, 170.0


def grid() -> tuple[Project, Arrangement]:
    """Return three panels with twenty devices each, round and rectangular in turn."""
    devices, placed, panels = {}, {}, {}
    for number in range(PANELS):
        key = f"panel{number}"
        size = (COLUMNS * PITCH_MM + 20, ROWS * PITCH_MM + 20)
        panels[key] = Panel(
            id=key, name=f"Panel {number + 1}", outline=Shape(rect=size, radius=15, at=(size[0] / 2, size[1] / 2)),
            thickness=12, material="plywood", depth=200,
        )  # fmt: skip
        for index in range(COLUMNS * ROWS):
            name = f"d{number}-{index}"
            hole = Shape(circle=92) if index % 2 else Shape(rect=(110, 80), radius=5)
            devices[name] = Device(
                id=name, name=f"Device {number + 1}.{index + 1}", panel=(key,), face=Shape(rect=(130, 110), radius=6),
                cutout=(hole,), fixings=tuple(Fixing(at=(x, y), drill=4.5) for x in (-60, 60) for y in (-50, 50)),
                body=(Body(shape=hole, depth=60),), tail=Tail(depth=40), size_from=SizeFrom.MEASURED, weight=0.5,
                terminals={t: Terminal(id=t, at=(n * 20 - 10, 0), depth=50) for n, t in enumerate(("+", "-"))},
            )  # fmt: skip
            x, y = 10 + PITCH_MM * (index % COLUMNS + 0.5), 10 + PITCH_MM * (index // COLUMNS + 0.5)
            placed[name] = Placed(device=name, panel=key, x=x, y=y)
    return Project(spile=1, project=TitleBlock(name="Benchmark"), panels=panels, devices=devices), Arrangement(
        placed=placed
    )


def main() -> None:
    """Make every drawing of every panel and print the time each kind took."""
    project, arrangement = grid()
    info, spent = DocumentInfo(title="Benchmark"), {}
    started = time.perf_counter()

    def lap(name: str) -> None:
        nonlocal started
        now = time.perf_counter()
        spent[name] = spent.get(name, 0.0) + now - started
        started = now

    template_findings(project, arrangement)
    lap("findings")
    for panel in project.panels:
        for make in (panel_drawing, rear_drawing):
            scenes = make(project, arrangement, panel)
            pdf_bytes(scenes, info)
            for scene in scenes:
                svg_text(scene)
            lap(make.__name__)
        for side in ("front", "rear"):
            pdf_bytes(tiled_template(project, arrangement, panel, side=side).scenes, info)
            lap(f"tiles {side}")
        pdf_bytes(full_size_template(project, arrangement, panel).scenes, info)
        lap("one sheet")
        file = machine_file(project, arrangement, panel, engrave=True)
        file.dxf()
        file.svg()
        lap("machine files")
    for name, seconds in spent.items():
        print(f"{name:<16}{seconds:6.2f} s")
    print(f"{'all':<16}{sum(spent.values()):6.2f} s")


if __name__ == "__main__":
    main()
