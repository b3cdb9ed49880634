"""The exact solver without the library of tables."""

from __future__ import annotations

import subprocess
import sys

TRY = """
import sys
from layout.exact_solver import cp_model
assert "pandas" not in sys.modules
model = cp_model.CpModel()
x, y = model.new_int_var(0, 9, "x"), model.new_int_var(0, 9, "y")
model.add(x + 2 * y <= 12)
model.maximize(3 * x + 4 * y)
solver = cp_model.CpSolver()
assert solver.solve(model) == cp_model.OPTIMAL
print(round(solver.objective_value))
"""


def test_solver_solves_without_the_tables():
    """A small program by hand: 3x + 4y with x + 2y <= 12 and x <= 9 is most at x = 8, y = 2 and there 32."""
    said = subprocess.run([sys.executable, "-c", TRY], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "32"
