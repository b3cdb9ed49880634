"""Drawings: one scene in millimetres on paper, and writers that only write it down.

``scene`` holds the primitives, ``metrics`` measures text, ``dimension`` and ``labels`` lay things out,
``svg``, ``pdf`` and ``dxf`` write. What knows panels and devices stands above: ``panel_drawing``,
``template`` and ``machine``.
"""
