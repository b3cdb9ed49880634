"""spile by its own name: ``import spile`` gives the public API, ``python -m spile`` is the command.

The package is called ``layout``, and so may a file of yours be. This module always takes the package that stands
beside it, whatever else of that name Python would find first.
"""

from __future__ import annotations

import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

_HOME = Path(__file__).resolve().parent / "layout" / "__init__.py"


def _package() -> Any:
    known = sys.modules.get("layout")
    if known is not None and Path(getattr(known, "__file__", None) or "").resolve() == _HOME:
        return known
    spec = spec_from_file_location("layout", _HOME, submodule_search_locations=[str(_HOME.parent)])
    if spec is None or spec.loader is None:
        raise ImportError(f"the package layout is not beside {__file__}; install spile again")
    for name in [name for name in sys.modules if name.partition(".")[0] == "layout"]:
        del sys.modules[name]
    package = sys.modules["layout"] = module_from_spec(spec)
    spec.loader.exec_module(package)
    return package


_layout = _package()
__all__ = list(_layout.__all__)


def __getattr__(name: str) -> Any:
    """Load a public name when it is first asked for."""
    return getattr(_layout, name)


def __dir__() -> list[str]:
    return sorted(__all__)


def run() -> None:
    """Run the command line."""
    from layout.cli.main import run as command  # a library user needs no command line

    command()


if __name__ == "__main__":
    run()
