"""Writers that only write a scene down: SVG, PDF, DXF, machine files."""
