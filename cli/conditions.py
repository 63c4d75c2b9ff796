"""`floorplan conditions`: dew point, go or no-go, and the usable hours of a forecast."""

from __future__ import annotations

from pathlib import Path

import click

from floorplan.report.documents import json_text
from floorplan.values import replace

from .options import json_option, read_plan
from .output import emit
from .quantities import HUMIDITY, SPEED, TEMPERATURE


@click.command(
    "conditions",
    epilog="Example: floorplan conditions sample_plans/l-patio.toml --air '72 F' --humidity '65 %'",
)
@click.argument("plan_file", metavar="[PLAN]", required=False, type=click.Path(allow_dash=True))
@click.option("--air", type=TEMPERATURE, help="Air temperature now, as '72 F'.")
@click.option("--surface", type=TEMPERATURE, help="Slab temperature now.")
@click.option("--humidity", type=HUMIDITY, help="Relative humidity now, as '65 %'.")
@click.option("--wind", type=SPEED, help="Wind now, as '8 mph'.")
@click.option("--forecast", metavar="FILE.csv", help="Hours to come: time, air, humidity, wind, rain.")
@click.option("--system", help="Coating system, where no plan is given.")
@click.option("--metric", is_flag=True, help="Write °C, where no plan is given.")
@json_option
def command(
    plan_file: str | None,
    air: float | None,
    surface: float | None,
    humidity: float | None,
    wind: float | None,
    forecast: str | None,
    system: str | None,
    metric: bool,
    as_json: bool,
) -> None:
    """Hold the weather against every coat: dew point, go or no-go, usable hours.

    The plan's [conditions] are used where no option says otherwise.
    """
    from floorplan.plan.forecast import load_forecast
    from floorplan.plan.model_work import Conditions, Weather
    from floorplan.plan.table_slab import DEFAULT_SYSTEM
    from floorplan.report.weather_text import weather_text
    from floorplan.report.work import conditions_document
    from floorplan.system.reader import load_system
    from floorplan.units.figures import Figures
    from floorplan.units.length import UnitStyle
    from floorplan.work.plan import coat_weather, coats_of

    if plan_file is not None:
        plan = read_plan(plan_file)
        given, units = plan.conditions, plan.units
        systems = [slab.system for slab in plan.slabs]
    else:
        given, units = Conditions(), UnitStyle.M if metric else UnitStyle.FT_IN
        systems = [load_system(system or DEFAULT_SYSTEM, Path())]
    if (air is None) != (humidity is None):
        raise click.UsageError("a dew point takes both --air and --humidity")
    if air is not None and humidity is not None:
        now = Weather(air_c=air, humidity=humidity, surface_c=surface, wind_m_s=wind)
        given = replace(given, now=now)
    if forecast is not None:
        given = replace(given, forecast=load_forecast(forecast))
    if given.now is None and not given.forecast:
        raise click.UsageError("nothing to judge: give --air and --humidity, --forecast, or a plan with them")
    figures = Figures(units)
    rows = coat_weather(given, coats_of(systems), figures)
    emit(
        json_text(conditions_document(given.now, rows)) if as_json else weather_text(given.now, rows, figures)
    )
