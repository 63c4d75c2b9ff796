"""The pictures of the README, made from the sample plans.

Run: python tests/gallery.py        writes every picture into sample_plans/pictures/
"""

from __future__ import annotations

from pathlib import Path

import floorplan

SAMPLES = Path(__file__).parents[1] / "sample_plans"
FOLDER = SAMPLES / "pictures"

PICTURES = {
    "l-patio-crew.svg": ("l-patio", "crew"),
    "porch-tape-estimator.svg": ("porch-tape", "estimator"),
    "garage-crew.svg": ("garage", "crew"),
    "pool-customer.svg": ("pool", "customer"),
}
"""Name of the picture: the sample plan and the sheet whose first page it is."""


def picture(name: str) -> bytes:
    """One picture, made anew."""
    sample, sheet = PICTURES[name]
    return floorplan.draw(floorplan.load(SAMPLES / f"{sample}.toml"), sheet=sheet)[0]


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for each in PICTURES:
        (FOLDER / each).write_bytes(picture(each))
