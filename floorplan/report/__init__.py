"""Takeoff, material list and their kin as text, JSON and CSV: pure functions from values to text."""
