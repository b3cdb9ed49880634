"""The stages of wiring are values; the record that sizes grow in stays inside the sizing."""

from __future__ import annotations

import layout
from tests.conftest import ROOT
from tests.frozen import changeable
from tests.test_imports import imports, modules
from tests.wiring.stages import stages_of


def test_the_record_of_the_circle_is_seen_by_sizing_only() -> None:
    """Only modules of the sizing import it."""
    users = {module for module, file in modules() if "layout.wiring.sizing.segment_state" in imports(file)}
    assert users
    assert {module for module in users if not module.startswith("layout.wiring.sizing.")} == set()


def test_what_is_handed_on_is_frozen_all_the_way() -> None:
    """Segments as sized, and the currents, bundles and devices beside them."""
    project = layout.read(str(ROOT / "examples/hire_cruiser.yaml")).project
    assert project is not None
    stages = stages_of(project)
    assert len(stages.settled.sized) == len(stages.declared.segments) > 0
    handed_on = (
        *stages.settled.sized.values(),
        stages.settled.bundles,
        stages.settled.stands,
        stages.settled.feeder_stands,
        stages.loaded.segment_currents,
        stages.loaded.bears,
    )
    assert [path for value in handed_on for path in changeable(value)] == []
