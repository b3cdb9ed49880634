"""True scale: what the printer's bars measured, and how far joined sheets may be off."""

from __future__ import annotations

from layout.light_dataclass import dataclass

BAR_MM = 100.0
BAR_IN_MM = 4 * 25.4
OVER_LIMIT = 0.01
"""A correction of more than this share is reported: a printer that is so far off was scaling to fit."""

MOST_OFF = 0.1
"""A bar further off than this share was not the bar, or not printed by us."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPrinter:
    """What the 100 mm bars of a test page measured, in mm, in the printer's own axes.

    ``across_mm`` is measured across the sheet's short side, ``up_mm`` along its long side: a page that lies lengthways
    goes through the printer turned, so its factors are the other way round (:attr:`turned`).
    """

    across_mm: float = BAR_MM
    up_mm: float = BAR_MM

    def __post_init__(self) -> None:
        for name in ("across_mm", "up_mm"):
            value = getattr(self, name)
            if not abs(value / BAR_MM - 1) <= MOST_OFF:
                raise ValueError(f"{name} is what the 100 mm bar measured, 90 to 110 mm; got {value:g}")

    @property
    def stretch(self) -> tuple[float, float]:
        """Factors for what is sent to the printer, across and up, so that it comes out true."""
        return (BAR_MM / self.across_mm, BAR_MM / self.up_mm)

    @property
    def turned(self) -> MeasuredPrinter:
        """The same printer, for a page that lies lengthways."""
        return MeasuredPrinter(across_mm=self.up_mm, up_mm=self.across_mm)

    @property
    def text(self) -> str:
        """The correction in words; empty where there is none."""
        if self.stretch == (1.0, 1.0):
            return ""
        across, up = self.stretch
        return f"Stretched for this printer: {across:.3%} across the sheet's short side, {up:.3%} along its long side"


def limit_mm(distance_mm: float) -> float:
    """Return how far a distance across joined sheets may be off before one must not cut: 0.5 mm + 0.05 %."""
    return 0.5 + 0.0005 * distance_mm
