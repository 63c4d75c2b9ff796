"""Numbers with units as people write them: the one door for all readers of the package.

Each reader takes the text as typed, gives the metric value, and raises `Unreadable` and nothing else.
"""

from .angles import read_angle, read_bearing
from .feet import read_length
from .notation import Unreadable
from .quantities import (
    read_area,
    read_count,
    read_density,
    read_duration,
    read_duration_range,
    read_percent,
    read_rate,
    read_speed,
    read_temperature,
    read_temperature_range,
    read_thickness,
    read_volume,
    read_weight,
    read_weight_rate,
)

__all__ = [
    "Unreadable",
    "read_angle",
    "read_area",
    "read_bearing",
    "read_count",
    "read_density",
    "read_duration",
    "read_duration_range",
    "read_length",
    "read_percent",
    "read_rate",
    "read_speed",
    "read_temperature",
    "read_temperature_range",
    "read_thickness",
    "read_volume",
    "read_weight",
    "read_weight_rate",
]
