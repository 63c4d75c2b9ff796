"""Files with random damage end in faults in words, never in a traceback."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from estimates import FOLDER, estimate
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.errors import DataFileError
from floorplan.order.actuals import read_actuals
from floorplan.order.firm_reader import read_firm
from floorplan.order.job import work_job
from floorplan.order.stock_csv import read_stock, write_stock
from floorplan.order.sundries import read_sundries
from floorplan.order.tasks import read_tasks
from floorplan.system.reader import read_system

ROOT = Path(__file__).parents[2]
OFFICE = ROOT / "sample_plans" / "office"


def actuals(text: str) -> object:
    """Actuals of the patio."""
    takeoff = estimate("patio")
    return read_actuals(text, "a.toml", work_job(takeoff.plan, takeoff))


READERS: dict[str, tuple[Path, Callable[[str], object]]] = {
    "firm": (OFFICE / "prices.toml", lambda text: read_firm(text, "f.toml")),
    "prices": (FOLDER / "prices.toml", lambda text: read_firm(text, "p.toml")),
    "stock": (OFFICE / "stock.csv", lambda text: write_stock(read_stock(text, "s.csv"))),
    "actuals": (OFFICE / "actuals.toml", actuals),
    "sundries": (ROOT / "floorplan/order/data/sundries.toml", lambda text: read_sundries(text, "s.toml")),
    "labour": (ROOT / "floorplan/order/data/labour.toml", lambda text: read_tasks(text, "l.toml")),
    "system": (
        ROOT / "floorplan/system/data/outdoor-full-flake.toml",
        lambda text: read_system(text, "s.toml", "s"),
    ),
    "products": (
        ROOT / "floorplan/system/data/products.toml",
        lambda text: read_system('extends = "clear-seal"\n' + text, "s.toml", "s"),
    ),
}
PIECES = st.sampled_from(
    ["", "0", "-1", "nan", "1e999", '"', "'", "[", "]", "{", "}", "=", "\n", ",", "%", "lb", "sq ft", "true"]
)


@pytest.mark.parametrize("name", READERS)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_damaged_file_gives_faults_or_values(name: str, data: st.DataObject) -> None:
    """A stretch of the file replaced by something else: it reads, or every fault says something."""
    path, read = READERS[name]
    text = path.read_text(encoding="utf-8")
    start = data.draw(st.integers(0, len(text)))
    end = min(len(text), start + data.draw(st.integers(0, 12)))
    damaged = text[:start] + data.draw(PIECES) + text[end:]
    try:
        read(damaged)
    except DataFileError as error:
        for fault in error.faults:
            assert fault.text and fault.code
            assert "Traceback" not in fault.text
