"""Settings and fixtures that every test shares."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# Derandomised: the same run on every machine; a failing example is printed with its seed.
settings.register_profile(
    "floorplan",
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("floorplan")
