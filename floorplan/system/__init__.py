"""Coating systems: layers, products, rates and times as data files."""
