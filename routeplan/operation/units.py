"""Units people use beside metres, degrees Celsius and kilograms: read from them, and written in them."""

from collections.abc import Callable

from routeplan.operation.settings import MILE_M

POUND_KG = 0.45359237  # exact, by the agreement of 1959
MILE_KM = MILE_M / 1000


def celsius(fahrenheit: float) -> float:
    """Turn degrees Fahrenheit into degrees Celsius, to a thousandth."""
    return round((fahrenheit - 32) / 1.8, 3)


COLUMNS: dict[str, Callable[[float], float]] = {
    "max_f": celsius,
    "flying_mi": lambda miles: miles * MILE_KM,
}
"""How the value of a column that stands in for another is turned into the other's unit."""

SETTINGS: dict[str, tuple[str, Callable[[float], float]]] = {
    "limits.bare_brood_from_f": ("limits.bare_brood_from_c", celsius),
    "costs.per_mile": ("costs.per_km", lambda money: money / MILE_KM),
    "costs.sugar_lb": ("costs.sugar_kg", lambda money: money / POUND_KG),
    "costs.sugar_per_split_lb": ("costs.sugar_per_split_kg", lambda pounds: pounds * POUND_KG),
    "drive.speed_mph": ("drive.speed_kmh", lambda miles: miles * MILE_KM),
    "shut_in.warmest_f": ("shut_in.warmest_c", celsius),
}
"""Settings that may be given in another unit: the setting meant, and how its value is found."""


def distance(metres: float, units: str, digits: int = 2) -> str:
    """Write metres as kilometres or, with units "mi", as statute miles, with the unit."""
    if units == "mi":
        return f"{metres / MILE_M:,.{digits}f} mi"
    return f"{metres / 1000:,.{digits}f} km"


def speed(kmh: float, units: str) -> str:
    """Write a speed in km/h or, with units "mi", in miles an hour."""
    return f"{_short(kmh / MILE_KM)} mph" if units == "mi" else f"{_short(kmh)} km/h"


def temperature(degrees_c: float, unit: str) -> str:
    """Write a temperature in °C or, with unit "fahrenheit", in °F."""
    return f"{_degrees(degrees_c, unit)} {_sign(unit)}"


def temperatures(low_c: float, high_c: float, unit: str) -> str:
    """Write a range of temperatures: "20 to 25 °C"."""
    return f"{_degrees(low_c, unit)} to {_degrees(high_c, unit)} {_sign(unit)}"


def weight(kilograms: float, unit: str, digits: int = 1) -> str:
    """Write a weight in kg or, with unit "lb", in pounds."""
    return f"{_short(kilograms / POUND_KG, digits)} lb" if unit == "lb" else f"{_short(kilograms, digits)} kg"


def _degrees(degrees_c: float, unit: str) -> str:
    return _short(degrees_c * 1.8 + 32 if unit == "fahrenheit" else degrees_c)


def _sign(unit: str) -> str:
    return "°F" if unit == "fahrenheit" else "°C"


def _short(value: float, digits: int = 1) -> str:
    """Write a number with so many decimals, or none where they are zero."""
    return f"{value:.{digits}f}".removesuffix(".0")
