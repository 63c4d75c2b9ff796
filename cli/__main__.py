"""`python -m floorplan_cli` is the same program."""

from .main import run

run()
