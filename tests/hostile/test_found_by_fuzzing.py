"""Plans on which the program once failed, each named for what went wrong; they stay."""

from __future__ import annotations

from pathlib import Path

import pytest
from fuzz.targets import attempt_job

PLANS = sorted((Path(__file__).parent / "plans").glob("*.toml"))


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_plan_goes_all_the_way(path: Path) -> None:
    """Takeoff, material, texts and every sheet, or faults in words."""
    attempt_job(path.read_text(encoding="utf-8"))
