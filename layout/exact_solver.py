"""OR-Tools' exact solver, loaded without the library of tables that its module imports and nothing here uses.

That library takes four times as long to load as the solver, and ``spile check`` needs the solver for every backbone.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import TYPE_CHECKING

TABLES = "pandas"

if TYPE_CHECKING or TABLES in sys.modules:
    from ortools.sat.python import cp_model
else:
    stand_in = ModuleType(TABLES)
    stand_in.Index, stand_in.Series = type("Index", (), {}), type("Series", (), {})
    sys.modules[TABLES] = stand_in
    try:
        from ortools.sat.python import cp_model
    finally:
        del sys.modules[TABLES]

__all__ = ["cp_model"]
