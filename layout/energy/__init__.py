"""The day's energy by situation, system and bank, and the heat behind a panel."""

from __future__ import annotations

from layout.energy.balance import EnergySheet, SituationSheet, energy_balance

__all__ = ["EnergySheet", "SituationSheet", "energy_balance"]
