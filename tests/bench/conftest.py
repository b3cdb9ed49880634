"""What the tests of the bench share: a wall with a chosen arrangement, and a client that speaks as the page does.

A module whose project is another one gives a ``wall`` of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from layout.bench.server import bench_app
from layout.bench.workbench import Workbench

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def wall(tmp_path: Path) -> Path:
    """Return a project with a chosen arrangement."""
    from tests.bench.test_server import put_wall

    return put_wall(tmp_path)


@pytest.fixture
def client(wall: Path) -> Iterator[TestClient]:
    """Return a client of its bench."""
    from tests.bench.test_server import HOST

    bench = Workbench(wall)
    with TestClient(bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as made:
        yield made
    bench.close()
