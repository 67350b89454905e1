"""Weather from the files of stations: recognised by what is in them, in days, with gaps named and nothing invented."""

from rootcase.fieldbook.intake.weather.daily import read_weather
from rootcase.fieldbook.intake.weather.importing import (
    KEPT,
    Fill,
    Wanted,
    WeatherResult,
    gauge_of,
    import_forecast,
    import_gauge,
    import_weather,
)
from rootcase.fieldbook.intake.weather.series import beside_held, gaps, series, with_own_gauge
from rootcase.fieldbook.intake.weather.station_file import RainUnit, Told, Units

__all__ = ["KEPT", "Fill", "RainUnit", "Told", "Units", "Wanted", "WeatherResult", "beside_held", "gaps", "gauge_of",
           "import_forecast", "import_gauge", "import_weather", "read_weather", "series", "with_own_gauge"]
