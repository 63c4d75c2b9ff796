"""Production rates as a firm writes them."""

from __future__ import annotations

import pytest

from floorplan.errors import DataFileError
from floorplan.order.task_rates import is_hours, read_task_rate
from floorplan.order.tasks import read_tasks
from floorplan.units.reading import Unreadable

SQFT_M2 = 0.3048**2


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("250 sq ft/h", 250 * SQFT_M2),
        ("250 sf per hour", 250 * SQFT_M2),
        ("170 sq ft / man-hour", 170 * SQFT_M2),
        ("8 m2/h", 8.0),
        ("30 ft/h", 30 * 0.3048),
        ("30' an hour", 30 * 0.3048),
        ("9 m/hr", 9.0),
        ("2 per hour", 2.0),
        ("0.5/h", 0.5),
    ],
)
def test_rate_of_an_hour_in_metric(text: str, value: float) -> None:
    """Areas are square metres an hour, lengths metres, bare numbers pieces."""
    assert read_task_rate(text) == pytest.approx(value, rel=1e-12)
    assert not is_hours(text)


@pytest.mark.parametrize(("text", "hours"), [("1.5 h", 1.5), ("90 min", 1.5), ("2 hours", 2.0)])
def test_time_for_the_job_in_hours(text: str, hours: float) -> None:
    """A time alone is what the task takes, whatever the size of the job."""
    assert read_task_rate(text) == pytest.approx(hours, rel=1e-12)
    assert is_hours(text)


@pytest.mark.parametrize("text", ["0 h", "0 sq ft/h", "0 ft/h", "0 per hour", "-3 per hour"])
def test_rate_of_nothing_is_refused(text: str) -> None:
    """A task that gets nowhere would never end."""
    with pytest.raises(Unreadable) as caught:
        read_task_rate(text)
    assert caught.value.code == "task-rate"
    assert caught.value.text == f"the rate {text} must be more than zero"


@pytest.mark.parametrize("text", ["fast per hour", "3 gal/h", "/h"])
def test_rate_that_is_none_is_told_with_the_cure(text: str) -> None:
    """Neither area, length nor number."""
    with pytest.raises(Unreadable) as caught:
        read_task_rate(text)
    assert caught.value.text == f"cannot read the rate {text}"
    assert caught.value.hint == "write it like 250 sq ft/h or 1.5 h"


def test_task_needs_a_rate() -> None:
    """A row of the labour table without a rate is refused, and with one it is read."""
    row = '[[task]]\nname = "sweep"\nstage = "sweep"\nof = "floor"\n'
    with pytest.raises(DataFileError, match="rate"):
        read_tasks(row, "l.toml")
    (task,) = read_tasks(row + 'rate = "2 h"\n', "l.toml")
    assert (task.rate, task.hours, task.machine) == (2.0, True, False)
