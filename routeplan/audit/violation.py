"""One broken rule, said in a sentence a beekeeper understands."""

from dataclasses import dataclass

from routeplan.operation.settings import MILE_M

FOOT_M = 0.3048


@dataclass(frozen=True)
class Violation:
    """One thing a plan does that it may not.

    Attributes
    ----------
    rule : "R1" .. "R15", or "form" when the plan contradicts itself or names what does not exist.
    what : what is wrong, with names and amounts.
    amount : by how much, in `unit`; 1 where nothing can be measured.
    unit : unit of `amount`, e.g. "frames", "m", "s".
    where : ids the violation is about: split, yard, hive (after its yard), order.
    """

    rule: str
    what: str
    amount: float
    unit: str
    where: tuple[str, ...] = ()

    def sentence(self) -> str:
        """Return the rule and what is wrong as one line."""
        return f"{self.rule}: {self.what}"


def far(metres: float, units: str) -> str:
    """Write a distance: kilometres or miles with two decimals; below 1,000 m or ft in these."""
    long_m, long, short_m, short = (MILE_M, "mi", FOOT_M, "ft") if units == "mi" else (1000.0, "km", 1.0, "m")
    if abs(metres) >= 1000 * short_m:
        return f"{metres / long_m:.2f} {long}"
    small = metres / short_m
    return f"{small:.0f} {short}" if abs(small) >= 1 else f"{small:.3f} {short}"


def warm(degrees_c: float, unit: str) -> str:
    """Write a temperature in °C or, with unit "fahrenheit", in °F."""
    return f"{degrees_c * 9 / 5 + 32:.4g} °F" if unit == "fahrenheit" else f"{degrees_c:g} °C"


def lasting(seconds: float) -> str:
    """Write a length of time in hours, minutes and seconds, leaving out what is zero."""
    whole = abs(round(seconds))
    parts = ((whole // 3600, "h"), (whole % 3600 // 60, "min"), (whole % 60, "s"))
    said = " ".join(f"{n} {unit}" for n, unit in parts if n) or "0 s"
    return f"minus {said}" if seconds < 0 else said


def count(number: int, thing: str) -> str:
    """Write a count with its thing, plural where needed: 1 box, 2 boxes."""
    if number == 1:
        return f"1 {thing}"
    return f"{number} {thing}{'es' if thing.endswith('x') else 's'}"
