"""Days as people write them: one order of day and month for a whole column, proved by it or asked for.

Year-month-day is always read as such (ISO 8601). 4/5/2026 alone could be two days: it is read only when the
column itself, its header or the setting `date_order` says which comes first.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from routeplan.operation.unreadable import UnreadableError

DAY_FIRST, MONTH_FIRST = "day first", "month first"
ORDERS = (DAY_FIRST, MONTH_FIRST)
SERIALS = (20_000, 80_000)
"""Day numbers of a spreadsheet that can be days of a beekeeper: 1954 to 2119."""
FIRST_DAY = date(1899, 12, 30)
"""Day number 0 of a spreadsheet whose days count from 1900, for numbers above 60 (ISO/IEC 29500)."""
DAYS_TO_1904 = 1462

_TIME = re.compile(
    r"(?<=[0-9])(?:T|,? )[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?: ?[ap]\.?m\.?)?", re.I
)
"""A time of day behind a date, which says nothing more about the day."""
_ISO = re.compile(r"([0-9]{4})([-/.]?)([0-9]{1,2})\2([0-9]{1,2})")
_PARTS = re.compile(r"([0-9]{1,2})([-/. ])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})")
_NAMED = re.compile(
    r"(?:(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?[-/. ]*(?P<month>[a-z]{3,9})\.?"
    r"|(?P<month2>[a-z]{3,9})\.?[-/. ]*(?P<day2>[0-9]{1,2})(?:st|nd|rd|th)?)"
    r"[-/., ]+(?P<year>[0-9]{4}|[0-9]{2})"
)
_WEEKDAY = re.compile(r"(?:mon|tues?|wed(?:nes)?|thur?s?|fri|sat(?:ur)?|sun)(?:day)?[,. ]+")
_SERIAL = re.compile(r"[0-9]{1,7}(?:[.,][0-9]+)?")
_ORDER_IN_HEADER = re.compile(r"\bd{1,2}[-/. ]?m{1,3}[-/. ]?y{1,4}|\bm{1,3}[-/. ]?d{1,2}[-/. ]?y{1,4}")
_MONTHS: tuple[str, ...] = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)


@dataclass(frozen=True)
class Order:
    """Which comes first in the dates of one column, "" where nothing says; `clash` where rows disagree.

    `clash` holds one text that can only be day first and one that can only be month first; `proof` the text
    of the column that proves its order, "" where something else says it.
    """

    first: str = ""
    clash: tuple[str, str] | None = None
    proof: str = ""


def is_open(text: str) -> bool:
    """Whether a text is a date of which day and month must be told apart by an order."""
    return _PARTS.fullmatch(_without_time(text)) is not None


def year_first(text: str) -> date | None:
    """Return the day of a date of two figures each if its year stands first, None where that is no day."""
    parts = _PARTS.fullmatch(_without_time(text))
    if parts is None or len(parts[4]) != 2:
        return None
    try:
        return date(_year(parts[1].zfill(2)), int(parts[3]), int(parts[4]))
    except ValueError:
        return None


def _without_time(text: str) -> str:
    found = _TIME.search(text)
    return text[: found.start()] if found and found.end() == len(text) else text


def order_of(texts: Iterable[str], header: str = "", asked: str = "") -> Order:
    """Return the order of the dates of one column, whatever the order of its rows.

    What only one order can read proves it. Else the header (dd/mm/yyyy) says it, else the setting `asked`.
    """
    day_only, month_only = "", ""
    for text in sorted(set(texts)):
        if is_open(text):
            day, month = (_in_order(text, order) is not None for order in ORDERS)
            day_only = day_only or (text if day and not month else "")
            month_only = month_only or (text if month and not day else "")
    if day_only and month_only:
        return Order(clash=(day_only, month_only))
    if proof := day_only or month_only:
        return Order(DAY_FIRST if day_only else MONTH_FIRST, proof=proof)
    return Order(_said_by(header) or asked)


def turned_round(texts: Iterable[str]) -> str:
    """Return a date of a workbook's column that may stand for another day, "" for none.

    A spreadsheet that expects the month first makes a date of 4/5 (5 April) and leaves 13/5 as text, and the
    other way about: where all texts have a day above 12 and no real date has, the real ones may be wrong.
    """
    seen = sorted(set(texts))
    open_ones = [text for text in seen if is_open(text)]
    real = [text for text in seen if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text)]
    if not open_ones or not real or any(len(_readings(text)) != 1 for text in open_ones):
        return ""
    return real[0] if all(int(text[8:10]) <= 12 for text in real) else ""


def _readings(text: str) -> set[date]:
    return {day for order in ORDERS if (day := _in_order(text, order))}


def _said_by(header: str) -> str:
    found = _ORDER_IN_HEADER.search(header.casefold())
    return (DAY_FIRST if found[0].startswith("d") else MONTH_FIRST) if found else ""


def day_of(text: str, order: Order, days_from_1904: bool = False) -> date:
    """Read one date in the order of its column. Raises UnreadableError."""
    plain = _without_time(text)
    if iso := _ISO.fullmatch(plain):
        if iso[2] or len(plain) == 8:
            return _calendar(int(iso[1]), int(iso[3]), int(iso[4]))
    elif _SERIAL.fullmatch(text):
        return serial_day(float(text.replace(",", ".")), days_from_1904)
    elif is_open(text):
        return _open_day(text, order)
    elif named := _NAMED.fullmatch(_WEEKDAY.sub("", plain.casefold(), count=1)):
        month = _month(named["month"] or named["month2"])
        if month:
            return _calendar(_year(named["year"]), month, int(named["day"] or named["day2"]))
    raise UnreadableError("is not a date read here, like YYYY-MM-DD.", "Write it like 2027-05-15.")


def serial_day(number: float, days_from_1904: bool = False) -> date:
    """Return the day of a spreadsheet's day number. Raises UnreadableError where no day near ours has it."""
    counted = number + (DAYS_TO_1904 if days_from_1904 else 0)
    if not SERIALS[0] <= counted <= SERIALS[1]:
        raise UnreadableError(
            "is a number that stands for no day near ours.", "Write the date like 2027-05-15."
        )
    return FIRST_DAY + timedelta(days=int(counted))


def is_serial(text: str) -> bool:
    """Whether a text is a spreadsheet's day number, or meant to be one."""
    return _SERIAL.fullmatch(text) is not None and not (len(text) == 8 and text.isdigit())


def _open_day(text: str, order: Order) -> date:
    both = _readings(text)
    if not both:
        raise UnreadableError("is not a day of the calendar.", "Write the date like 2027-05-15.")
    if order.clash:
        problem = (
            f"cannot be told: “{order.clash[0]}” in this column is day first, “{order.clash[1]}” month first."
        )
        raise UnreadableError(problem, "Write all dates of the column as year-month-day.")
    if len(both) == 1 and not order.first:
        return both.pop()
    day = _in_order(text, order.first) if order.first else None
    if day is None:
        days = " or ".join(str(one) for one in sorted(both))
        cure = 'Write date_order = "day first" or "month first" in settings.toml, or dates like 2027-05-15.'
        raise UnreadableError(f"could be {days}: no date of this column tells.", cure)
    return day


def _in_order(text: str, order: str) -> date | None:
    parts = _PARTS.fullmatch(_without_time(text))
    if parts is None:
        return None
    first, second, year = int(parts[1]), int(parts[3]), _year(parts[4])
    day, month = (first, second) if order == DAY_FIRST else (second, first)
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _calendar(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise UnreadableError("is not a day of the calendar.", "Write the date like 2027-05-15.") from None


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _month(word: str) -> int:
    """Return the month of an English name or its first letters, three or more; 0 for none."""
    word = word.removesuffix(".")
    found = [i for i, name in enumerate(_MONTHS, 1) if name.startswith(word) or (word == "sept" and i == 9)]
    return found[0] if len(word) >= 3 and found else 0
