"""The picture of a panel in characters."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.cli.picture import WIDTH, terminal_picture
from layout.project.reading.read import read
from layout.project.register import load

if TYPE_CHECKING:
    from tests.conftest import Built


@pytest.mark.parametrize(("fine", "signs"), [(False, "+-+|"), (True, "┏━┓┃")], ids=["plain", "fine"])
def test_every_face_is_in_the_picture(wall: Built, fine: bool, signs: str) -> None:
    """Each device's id, or its start, stands inside the frame, and no line is wider than the picture."""
    project, (register, _) = read(wall.file).project, load(wall.register)
    assert project is not None
    assert register is not None
    assert register.arrangement is not None
    lines = terminal_picture(project, register.arrangement, "wall", fine=fine)
    assert lines[0] == signs[0] + signs[1] * (WIDTH - 2) + signs[2]
    assert all(len(line) == WIDTH and line[0] == line[-1] == signs[3] for line in lines[1:-1])
    assert "".join(lines).isascii() != fine
    for name in register.arrangement.placed:
        assert any(name[:3] in line for line in lines), name
