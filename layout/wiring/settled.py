"""The third stage of wiring: every segment with its way, length, bundle and size, and what follows from them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.wiring.protection.protective_device import as_laid
from layout.wiring.sizing.bundles import loaded_together
from layout.wiring.sizing.circle import sized_segments
from layout.wiring.sizing.drop import Copper, copper_ohm_per_m
from layout.wiring.sizing.drop_budget import Upstream, run_ohm
from layout.wiring.system.laid_out import LaidFacts, laid_out

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.standards.tables import Practice
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.sizing.bundles import BundleKey
    from layout.wiring.sizing.sized_segment import SizedSegment
    from layout.wiring.system.graph import System


COLD_C = 20.0
"""Temperature of a conductor for the highest fault."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What routes and sizes came to.

    Attributes
    ----------
    sized
        Every segment by key, in the order of those declared.
    bundles
        Conductors loaded together in each wireway and loom.
    stands, feeder_stands
        Protective devices as in the stage before, with their distance as the conductors up to them lie.
    upstream
        Worst drop to a pair of nodes.
    """

    sized: Mapping[str, SizedSegment]
    bundles: Mapping[BundleKey, int]
    stands: Mapping[tuple[str, str], ProtectiveDevice]
    feeder_stands: Mapping[tuple[str, bool], ProtectiveDevice]
    upstream: Upstream


def make_settled(declared: Declared, loaded: Loaded) -> Settled:
    """Let routes, bundles and sizes settle."""
    inputs = loaded.inputs
    sized = sized_segments(
        inputs, declared.segments, declared.router, currents=loaded.segment_currents, bears=loaded.bears
    )
    up_to_holders = [(one.segment, one.length) for one in sized.values() if one.segment.tail_of]
    return Settled(
        sized=FrozenMap(sized),
        bundles=FrozenMap(loaded_together(declared.project, sized.values(), inputs.never_with)),
        stands=FrozenMap(as_laid(loaded.stands, up_to_holders)),
        feeder_stands=FrozenMap(as_laid(loaded.feeder_stands, up_to_holders)),
        upstream=Upstream(inputs.fed, sized, inputs.drop_currents, inputs.practice),
    )


def laid_system(declared: Declared, loaded: Loaded, settled: Settled) -> System:
    """Return the electrical graph with the sizes, lengths and ampacities that were found."""
    return laid_out(loaded.graph, {key: _laid(one, declared.practice) for key, one in settled.sized.items()})


def _laid(plan: SizedSegment, practice: Practice) -> LaidFacts:
    """Return what was found for a segment; its resistance cold at its least (plain copper), and hot at its most."""
    verdict = plan.sizing.verdict if plan.sizing else None
    ohm = hot_ohm = None
    if plan.size is not None and plan.length.total_mm is not None:
        metres, strands = plan.length.total_mm / 1000, plan.copper.strand_class
        cold = Copper(temperature_c=COLD_C, tinned=False, strand_class=strands)
        hot = Copper(temperature_c=plan.insulation_c, tinned=plan.copper.tinned, strand_class=strands)
        ohm = min(copper_ohm_per_m(plan.size, practice=practice, copper=cold)) * metres
        hot_ohm = max(copper_ohm_per_m(plan.size, practice=practice, copper=hot)) * metres
    return LaidFacts(
        size_mm2=plan.size.area_mm2 if plan.size else None,
        size_given=plan.fixed_size,
        length_mm=plan.length.total_mm,
        bears_a=verdict.ampacity.current_a if verdict and verdict.ampacity else None,
        ohm=ohm,
        working_ohm=run_ohm(plan, practice),
        hot_ohm=hot_ohm,
    )
