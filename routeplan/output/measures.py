"""How numbers are written: with their unit, which never stands on another line; clock times as HH:MM."""

import math
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from routeplan.operation import units
from routeplan.output import words

HARD = "\u00a0"
"""A space at which no line breaks."""

NEAREST_M = 0.5
"""Distances are whole metres in a plan: so much may be lost by rounding."""
CLOSE_CALL = 1.01
"""A flying distance under this many times the minimum is said to be borderline."""


def distance(metres: float, unit: str, digits: int = 1) -> str:
    """Write metres as kilometres or, with unit "mi", as statute miles."""
    return _held(units.distance(metres, unit, digits))


def close_call(metres: float, least_m: float) -> str:
    """Write what is said behind a flying distance that is hardly far enough, or is not; "" for others."""
    if metres < least_m - NEAREST_M:
        return ", too near"
    return ", borderline" if metres < CLOSE_CALL * least_m else ""


def temperature(degrees_c: float, unit: str) -> str:
    """Write degrees Celsius as °C or, with unit "fahrenheit", as °F."""
    return _held(units.temperature(degrees_c, unit))


def temperatures(low_c: float, high_c: float, unit: str) -> str:
    """Write a range of temperatures: "20 to 25 °C"."""
    low, high = units.temperatures(low_c, high_c, unit).rsplit(" ", 1)
    return low + HARD + high


def weight(kilograms: float, unit: str, digits: int = 1) -> str:
    """Write kilograms as kg or, with unit "lb", as pounds."""
    return _held(units.weight(kilograms, unit, digits))


def weights(least_kg: float, most_kg: float, unit: str) -> str:
    """Write a range of weights in whole units: "9 to 14 kg"."""
    least = units.weight(least_kg, unit, 0).partition(" ")[0]
    return f"{least} to {weight(most_kg, unit, 0)}"


def _held(text: str) -> str:
    return text.replace(" ", HARD)


def clock(seconds: float) -> str:
    """Write seconds after midnight as HH:MM, to the nearest minute (halves up)."""
    minutes = math.floor(seconds / 60 + 0.5)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def span(seconds: float) -> str:
    """Write a length of time as "6 h 55 min", or "42 min" below an hour, to the nearest minute."""
    minutes = math.floor(seconds / 60 + 0.5)
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest}{HARD}min"
    return f"{hours}{HARD}h{HARD}{rest}{HARD}min" if rest else f"{hours}{HARD}h"


def counted(count: int, one: str, many: str = "") -> str:
    """Write a count with its noun: "1 split", "2 splits"."""
    return f"{count} {one}" if count == 1 else f"{count} {many or one + 's'}"


def number(value: float) -> str:
    """Write a number without needless zeros: 8, 2.5."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def frames(kind: str, count: int) -> str:
    """Write so many frames of a kind: "2 capped", "1 open with eggs", "2 shakes"."""
    return counted(count, words.KIND["shake"]) if kind == "shake" else f"{count} {words.KIND.get(kind, kind)}"


def kinds(parts: Iterable[tuple[str, int]], joint: str = ", ") -> str:
    """Join counts of kinds, always in the same order; nothing for none."""
    order = list(words.KIND)
    there = [(kind, count) for kind, count in parts if count]
    there.sort(key=lambda part: order.index(part[0]) if part[0] in order else len(order))
    return joint.join(frames(kind, count) for kind, count in there)


def day_words(day: date, year: bool = False) -> str:
    """Write a date as "Sat 9 May", or "Saturday 9 May 2026"."""
    weekday, month = words.WEEKDAYS[day.weekday()], words.MONTHS[day.month - 1]
    if year:
        return f"{weekday} {day.day} {month} {day.year}"
    return f"{weekday[:3]} {day.day} {month}"


def days_after(day: date, first: int, last: int) -> str:
    """Write the day, or the days, so many days after `day`."""
    start = day_words(day + timedelta(first))
    return start if first == last else f"{start} to {day_words(day + timedelta(last))}"


def joined(items: Iterable[str]) -> str:
    """Join as in a sentence: "a", "a and b", "a, b and c"."""
    parts = list(items)
    return " and ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else "".join(parts)


def runs(numbers: Iterable[int]) -> str:
    """Write numbers with runs drawn together: "1–3, 5"."""
    groups: list[list[int]] = []
    for n in sorted(set(numbers)):
        if groups and n == groups[-1][-1] + 1:
            groups[-1].append(n)
        else:
            groups.append([n])
    return ", ".join(str(g[0]) if len(g) == 1 else f"{g[0]}–{g[-1]}" for g in groups)


def hives(names: Sequence[str]) -> str:
    """Write "hive A1", or "hives A1, A2 and A3"."""
    return f"{'hive' if len(names) == 1 else 'hives'} {joined(names)}"
