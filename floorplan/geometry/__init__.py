"""Arcs, rings, regions, lines and discs in the plane: exact measures, and polygons at a stated tolerance."""
