"""Drops of the whole launch against two solvers of circuits, fed with nothing but the schedule's CSV.

Every conductor is a resistor between the nodes that stand in its row. From the drop of each wire its current follows;
what does not flow on at a node is drawn there. One solve is a nodal matrix (numpy), the other ngspice.
"""

from __future__ import annotations

import csv
import io
import subprocess
from collections import defaultdict, deque
from itertools import product

import numpy as np
import pytest

from layout.handover.files.csv_file import csv_bytes
from layout.handover.lists.wires.schedule_columns import schedule_table
from layout.project.reading.read import read
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES, needs_program
from tests.wiring.arranged import spread_out
from tests.wiring.builders import boat, lamp

SYSTEMS = [
    pytest.param("24", "DC", ("house/+", "house/-"), id="24 V"),
    pytest.param("12", "DC", ("conv12/+", "conv12/-"), id="12 V"),
    pytest.param("230", "AC", ("shore/L", "shore/N"), id="230 V"),
]
"""Voltage, system, and the posts of the source, as a reader of the one-line diagram knows them."""


@pytest.fixture(scope="module")
def rows():
    """Return the launch's schedule as rows of text, read back from its CSV."""
    project = read(EXAMPLES / "launch" / "launch.yaml").project
    result = wire(project, spread_out(project))
    text = csv_bytes(schedule_table(project, result)).decode("utf-8")
    found = [{key: value.removeprefix("'") for key, value in row.items()} for row in csv.DictReader(io.StringIO(text))]
    assert len(found) > 80
    # A question mark stands where no load flows (charging, cranking): such a wire is no part of the load's network.
    flows = [row for row in found if row["ohm"] not in ("", "?") and row["wire_drop_v"] not in ("", "?")]
    return [row for row in flows if row["pole"] not in ("PE", "bond")]


def network(rows, root):
    """Return resistors (node, node, ohm) and the current drawn at each node of what hangs together with a post.

    Currents point away from the post; a node draws what comes in and does not go on.
    """
    near = defaultdict(list)
    for row in rows:
        a, b, ohm, drop = row["from_node"], row["to_node"], float(row["ohm"]), float(row["wire_drop_v"])
        near[a].append((b, ohm, drop / ohm))
        near[b].append((a, ohm, drop / ohm))
    drawn = defaultdict(float)
    resistors, seen, queue = [], {root}, deque([root])
    while queue:
        here = queue.popleft()
        for there, ohm, amps in near[here]:
            if there not in seen:
                seen.add(there)
                queue.append(there)
                resistors.append((here, there, ohm))
                drawn[here] -= amps
                drawn[there] += amps
    return resistors, {node: drawn[node] for node in seen if node != root}


def solved_by_matrix(resistors, drawn, root):
    """Return the fall of potential from the post to each node: conductance matrix times potentials is currents."""
    index = {node: at for at, node in enumerate(drawn)}
    matrix = np.zeros((len(index), len(index)))
    for a, b, ohm in resistors:
        for one, other in ((a, b), (b, a)):
            if one != root:
                matrix[index[one], index[one]] += 1 / ohm
                if other != root:
                    matrix[index[one], index[other]] -= 1 / ohm
    falls = np.linalg.solve(matrix, np.array([drawn[node] for node in index]))
    return {root: 0.0, **{node: falls[at] for node, at in index.items()}}


def solved_by_ngspice(resistors, drawn, root, folder):
    """Return the same from ngspice's operating point; the post is ground and every node draws its current."""
    names = {root: "0", **{node: f"n{at}" for at, node in enumerate(drawn)}}
    lines = ["drops of one pole"]
    lines += [f"R{at} {names[a]} {names[b]} {ohm:.12g}" for at, (a, b, ohm) in enumerate(resistors)]
    lines += [f"I{at} {names[node]} 0 DC {amps:.12g}" for at, (node, amps) in enumerate(drawn.items())]
    prints = "\n".join(f"print v({names[node]})" for node in drawn)
    lines += [".control", "set numdgt=12", "op", prints, "quit", ".endc", ".end"]
    deck = folder / "drops.cir"
    deck.write_text("\n".join(lines))
    told = subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, text=True, check=False, timeout=60).stdout
    values = {}
    for line in told.splitlines():
        left, mark, right = line.partition(" = ")
        if mark and left.strip().startswith("v("):
            values[left.strip()[2:-1]] = -float(right)
    return {root: 0.0, **{node: values[names[node]] for node in drawn}}


def compare(rows, voltage, system, out, home):
    """Compare every circuit's drop from source in the CSV with the potentials at its ends; return how many."""
    compared = 0
    mine = [row for row in rows if float(row["voltage_v"]) == float(voltage) and row["system"] == system]
    circuits = defaultdict(list)
    for row in mine:
        if row["key"].startswith(("circuits.", "shared.")):
            circuits[row["key"].partition(":")[0]].append(row)
    shared = [row for row in mine if row["key"].startswith("shared.")]
    for key, wires in circuits.items():
        if key.startswith("shared."):
            continue
        if any(row["to_node"].endswith(("/excitation", "/sense")) for row in wires):
            continue  # it comes home over its machine, whose own lead carries what it charges with
        lives = {row["to_node"] for row in wires if row["pole"] in ("+", "switched", "L")}
        backs = [row for row in (*wires, *shared) if row["pole"] in ("-", "N")]
        backs = {max((row["from_node"], row["to_node"]), key=lambda node: home[node]) for row in backs}
        sums = [out[a] + home[b] for a, b in product(lives, backs)]
        for row in wires:
            told = float(row["total_drop_v"])
            near = min(abs(told - found) for found in sums)
            assert near <= 0.001 * told, (row["number"], told, sums)
            compared += 1
    return compared


@pytest.mark.parametrize(("voltage", "system", "roots"), SYSTEMS)
def test_drops_against_a_nodal_solve(rows, voltage, system, roots):
    """Every run's drop from its source agrees with the conductance matrix to 0.1 %."""
    falls = [solved_by_matrix(*network(rows, root), root) for root in roots]
    assert compare(rows, voltage, system, *falls) >= 8


@needs_program("ngspice")
@pytest.mark.parametrize(("voltage", "system", "roots"), SYSTEMS)
def test_drops_against_ngspice(rows, voltage, system, roots, tmp_path):
    """Every run's drop from its source agrees with ngspice's operating point to 0.1 %."""
    falls = [solved_by_ngspice(*network(rows, root), root, tmp_path) for root in roots]
    assert compare(rows, voltage, system, *falls) >= 8


def test_feeders_follow_from_kirchhoff():
    """Without diversity only the loads are drawn, at their own ends: the feeders' currents come out of the solve."""
    circuits = {f"c{n}": lamp(n, amps=1.0 + n, location=n % 3) for n in range(1, 6)}
    result = wire(boat(circuits, lengths_mm=(1500.0, 4000.0, 7000.0)), None)
    resistors = {"+": [], "-": []}
    for run in result.runs:
        for one in run.wires:
            resistors[one.pole].append((one.start.node, one.end.node, one.ohm))
    falls = {}
    for pole, links in resistors.items():
        drawn = dict.fromkeys((node for link in links for node in link[:2] if node != f"bank/{pole}"), 0.0)
        drawn |= {f"lamp{n}@{n % 3}/{pole}": 1.0 + n for n in range(1, 6)}
        falls[pole] = solved_by_matrix(links, drawn, f"bank/{pole}")
    for n in range(1, 6):
        told = result.run(f"circuits.c{n}").cumulative_v
        node = f"lamp{n}@{n % 3}"
        assert told == pytest.approx(falls["+"][f"{node}/+"] + falls["-"][f"{node}/-"], rel=1e-3)
