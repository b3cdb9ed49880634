"""A panel that opens."""

from __future__ import annotations

import math
from typing import Any

from layout.project.model.panel import (
    Hinge,
    Obstacle,
    Panel,
)
from tests.placing.judge.builder import (
    A,
    Twin,
    device,
    devices,
    panel,
    panels,
)


def hinged(*obstacles: Obstacle, **more: Any) -> Panel:
    """Return a panel on a hinge at its left side, pin at the corner of sheet and outline."""
    loom = more.pop("loom", (((50.0, 20.0), (350.0, 20.0)),))
    fields: dict[str, Any] = {"side": "left", "opens": 90.0, "loom_depth": 20.0}
    return panel(loom=loom, hinge=Hinge(obstacles={f"o{i}": o for i, o in enumerate(obstacles)}, **(fields | more)))


def swing_cases() -> list[Twin]:
    """Return twins: a panel that opens."""
    post = Obstacle(low=(420, 0, -200), high=(440, 300, -70))
    # The body's far corner is 120 right of the pin and 89 behind its plane; it turns on a radius of hypot(120, 89).
    reach = math.hypot(120, 89) + 10
    beside = [Obstacle(low=(reach - off, 30, 5), high=(500, 300, 20)) for off in (0.1, 0.0)]
    ahead = [Obstacle(low=(0, 0, 400 + up), high=(30, 300, 450)) for up in (0.0,)]
    high_up = Obstacle(low=(100, 169.9, 50), high=(500, 300, 60))
    past_end = Obstacle(low=(100, 170.0, 50), high=(500, 300, 60))
    loom_reach = math.hypot(350, 29) + 10
    tip = [Obstacle(low=(loom_reach - off, 0, -10), high=(500, 25, 10)) for off in (0.1, 0.0)]
    return [
        ("plug meets a post", "hinge-swing", "panel 20", *panels(hinged(beside[0]), hinged(beside[1]))),
        ("post within the swing", "hinge-swing", "panel 20", *panels(hinged(high_up), hinged(past_end))),
        (
            "post beside the body at the start",
            "hinge-swing",
            "panel 20",
            *panels(hinged(Obstacle(low=(129.9, 100, -200), high=(300, 300, -50))), hinged(post)),
        ),
        (
            "front hits at the end",
            "hinge-swing",
            "panel 20",
            *panels(
                hinged(Obstacle(low=(-14.9, 0, 70), high=(-10, 300, 130))),
                hinged(Obstacle(low=(-25, 0, 70), high=(-15, 300, 130)), ahead[0]),
            ),
        ),
        (
            "opens less",
            "hinge-swing",
            "panel 20",
            *panels(
                hinged(Obstacle(low=(50, 0, 100), high=(90, 300, 120)), loom=(((50.0, 20.0), (350.0, 20.0)),)),
                hinged(Obstacle(low=(50, 0, 100), high=(90, 300, 120)), opens=10.0),
            ),
        ),
        (
            "hinge on the right",
            "hinge-swing",
            "panel 20",
            *panels(
                *(hinged(Obstacle(low=(-100, 30, 5), high=(400 - o.low[0], 300, 20)), side="right") for o in beside),
                at=(300, 150),
            ),
        ),
        (
            "hinge at the bottom",
            "hinge-swing",
            "panel 20",
            *panels(
                *(
                    hinged(
                        Obstacle(low=(0, o.low[0], 5), high=(300, 500, 20)),
                        side="bottom",
                        loom=(((50.0, 20.0), (300.0, 20.0)),),
                    )
                    for o in beside
                ),
                at=(150, 110),
            ),
        ),
        (
            "hinge at the top",
            "hinge-swing",
            "panel 20",
            *panels(
                *(
                    hinged(
                        Obstacle(low=(0, -300, 5), high=(300, 300 - o.low[0], 20)),
                        side="top",
                        loom=(((50.0, 280.0), (300.0, 280.0)),),
                    )
                    for o in beside
                ),
                at=(150, 190),
            ),
        ),
        ("loom meets a post", "hinge-swing", "panel 20", *panels(hinged(tip[0]), hinged(tip[1]), at=(100, 200))),
        ("loom depth unknown", "hinge-swing", "panel 21", *panels(hinged(post, loom_depth=None), hinged(post))),
        ("loom way unknown", "hinge-swing", "panel 21", *panels(hinged(post, loom=()), hinged(post))),
        (
            "swing and unknown height",
            "hinge-swing",
            "panel 10",
            *devices(device("a", front_height=None), A, on=hinged(post)),
        ),
    ]
