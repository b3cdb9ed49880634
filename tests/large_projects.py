"""Large projects as text, for the benchmark of the largest and its smaller twins in the tests; all invented."""

from __future__ import annotations

import json

from tests.wiring.builders import SIZES

ACROSS, PITCH_MM = 25, 180
"""Devices in a row, and the distance of their centres."""

FACES_MM = ((64, 64), (110, 80), (90, 130), (150, 60))
"""Width and height of each kind of unpinned instrument."""


def many_instruments(devices: int, *, pinned: bool, size_mm: tuple[int, int] = (5000, 3000)) -> str:
    """Return a project of instruments on one panel: round and pinned in rows, or of four kinds with wishes."""
    wide, tall = size_mm
    wall = f"{{name: Wall, outline: {{rect: [{wide}, {tall}]}}, thickness: 9, material: plywood, depth: 200}}"
    lines = [
        "spile: 2", "project: {name: Many instruments, example: true}", f"panels: {{wall: {wall}}}",
        "devices:",
    ]  # fmt: skip
    for number in range(devices):
        row, column = divmod(number, ACROSS)
        across, up = FACES_MM[number % len(FACES_MM)]
        pin = f"type: gauge-52, pin: {{x: {200 + column * PITCH_MM}, y: {140 + row * 140}}}"
        body = f"rect: [{across - 10}, {up - 10}]"
        shapes = f"face: {{rect: [{across}, {up}]}}, cutout: {{{body}}}, behind: {{shape: {{{body}}}, depth: 60}}"
        shapes += ", size_from: measured"
        lines.append(f"  d{number:03}: {{name: Instrument {number}, panel: wall, {pin if pinned else shapes}}}")
    if not pinned:
        lines += ["wishes:", "  wanted:"]
        for number in range(0, devices - 1, 5):
            near = f"devices: d{number:03}, to: d{number + 1:03}"
            lines.append(f"    - {{wish: near device, {near}, name: pair {number}}}")
    return "\n".join(lines) + "\n"


def many_wires(wires: int, *, columns: int = 12, rows: int = 13) -> str:
    """Return a project of ``wires`` / 2 plain circuits over a grid of wireways: some 300 as a rule, of 500 mm bore."""
    names = [f"n{x}_{y}" for x in range(columns) for y in range(rows)]
    links = [(f"n{x}_{y}", f"n{x + 1}_{y}") for y in range(rows) for x in range(columns - 1)]
    links += [(f"n{x}_{y}", f"n{x}_{y + 1}") for y in range(rows - 1) for x in range(columns)]
    count = wires // 2
    lines = [
        "spile: 2", "project: {name: Many wires, example: true}",
        "cables:", "  single: {name: Single core, insulation: 90 °C, carries: dc, bend_radius: 4, "
                   f"sizes: {json.dumps(SIZES)}}}",
        "supplies:", "  bank: {name: Bank, kind: battery, voltage: 24 V, location: n0_0, resistance: 2 mohm}",
        "locations:", *(f"  {name}: {{name: Place {name}}}" for name in names),
        "wireways:",
    ]  # fmt: skip
    for number, (start, end) in enumerate(links):
        length = 400 + 37 * (number * 7 % 11)
        lines.append(
            f"  w{number:03}: {{name: Conduit {number}, from: {start}, to: {end}, kind: conduit, length: {length} mm, "
            "bore: 500 mm, bends: 90, carries: dc}"
        )
    panels: list[str] = []
    feeders: list[str] = []
    for panel, first in enumerate(range(0, count, 40)):
        ways = ", ".join(
            f"{n}: {{rating: 10 A, breaking_capacity: 10 kA, trips_at: 5, circuit: c{n:04}}}"
            for n in range(first, min(first + 40, count))
        )
        where = names[panel * 29 % len(names)]
        panels.append(
            f"  d{panel}: {{name: Distribution {panel}, voltage: 24 V, location: {where}, diversity: 30 %, "
            f"ways: {{{ways}}}}}"
        )
        fuse = "{kind: link fuse, rating: 100 A, from_source: 100 mm, breaking_capacity: 20 kA, trips_at: 6}"
        feeders += [
            f"  f{panel}: {{name: Feed {panel}, from: bank/+, to: d{panel}/in, poles: '+', length: 1.5 m, "
            f"protection: {fuse}}}",
            f"  r{panel}: {{name: Return {panel}, from: d{panel}/-, to: bank/-, poles: '-', length: 1.5 m}}",
        ]
    lamps = [f"  x{n}: {{name: Lamp {n}, location: {names[(n * 53 + 7) % len(names)]}}}" for n in range(count)]
    circuits = [
        f"  c{n:04}: {{name: Lamp {n}, from: d{n // 40}/{n}, to: x{n}, purpose: cabin lights, "
        f"load: {{current: {1 + n % 6} A}}}}"
        for n in range(count)
    ]
    lines += ["breaker_panels:", *panels, "feeders:", *feeders, "devices:", *lamps, "circuits:", *circuits]
    return "\n".join(lines) + "\n"
