"""Units people use beside metres and degrees Celsius, and how a distance is written."""

from routeplan.operation.settings import MILE_M


def distance(metres: float, units: str, digits: int = 2) -> str:
    """Write metres as kilometres or, with units "mi", as statute miles, with the unit."""
    if units == "mi":
        return f"{metres / MILE_M:,.{digits}f} mi"
    return f"{metres / 1000:,.{digits}f} km"
