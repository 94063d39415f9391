"""From the text of one cell to one value, strictly: what cannot be read is said, never guessed.

Each reader takes the text (not blank, ends trimmed) and whether a comma is the decimal mark.
"""

import re
from collections.abc import Callable
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from routeplan.operation import places
from routeplan.operation.settings import MILE_M
from routeplan.operation.unreadable import UnreadableError

FRACTIONS = {
    "½": 0.5,
    "¼": 0.25,
    "¾": 0.75,
    "⅓": 1 / 3,
    "⅔": 2 / 3,
    "⅛": 0.125,
    "⅜": 0.375,
    "⅝": 0.625,
    "⅞": 0.875,
}
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_DECIMAL = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
_FRACTION = re.compile(r"(?:([0-9]+)\s+)?([0-9]{1,2})/([0-9]{1,2})")
_TIME = re.compile(r"([0-9]{1,2}(?=\s?[:h])|[0-9]{2})(?:\s?[:h]\s?)?([0-9]{2})(?::00)?\s?([ap]\.?m\.?)?")
_HOUR = re.compile(r"([0-9]{1,2})\s?([ap]\.?m\.?)")
_SHARE = re.compile(r"0?[.,][0-9]+")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DISTANCE = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*([a-z]+)")
_UNITS_M = {"m": 1.0, "km": 1000.0, "mi": MILE_M, "mile": MILE_M, "miles": MILE_M}
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_CLEAR = {"clear", "ok", "okay", "healthy", "good", "fine"}
_SUSPECTED = {
    "suspected",
    "suspect",
    "suspicious",
    "maybe",
    "possible",
    "possibly",
    "quarantine",
    "quarantined",
}
_CONFIRMED = {"confirmed", "positive"}
_DISEASES = {
    "afb",
    "efb",
    "foulbrood",
    "american foulbrood",
    "european foulbrood",
    "chalk",
    "chalkbrood",
    "chalk brood",
}
_DISEASES |= {"sacbrood", "sac brood", "nosema", "stonebrood", "parasitic mite syndrome", "dwv", "paralysis"}

HEALTH_WORDS = {
    "clear": _CLEAR,
    "suspected": _SUSPECTED | _DISEASES,
    "confirmed": _CONFIRMED | {f"{disease} confirmed" for disease in _DISEASES},
}
"""Words on health, in small letters; a question mark makes any text suspected."""


def number(text: str, decimal_comma: bool = False) -> float:
    """Read 4.5, 4,5, 4½ or "4 1/2". Raises UnreadableError.

    A comma before exactly three figures (1,200) is a decimal mark only where commas are.
    """
    plain = text.replace("−", "-")
    if _COMMA.fullmatch(plain) and (decimal_comma or not _THOUSANDS.fullmatch(plain)):
        plain = plain.replace(",", ".")
    if _DECIMAL.fullmatch(plain):
        return float(plain)
    if plain[-1:] in FRACTIONS and re.fullmatch(r"[0-9]*", plain[:-1].strip()):
        return float(plain[:-1].strip() or 0) + FRACTIONS[plain[-1]]
    parts = _FRACTION.fullmatch(plain)
    if parts and 0 < int(parts[2]) < int(parts[3]):
        return int(parts[1] or 0) + int(parts[2]) / int(parts[3])
    if plain.endswith("%"):
        raise UnreadableError("is a share in per cent.", "Write the number itself, like 4 or 4.5.")
    if _COMMA.fullmatch(plain):
        raise UnreadableError("may be thousands or a decimal mark.", "Write 1200, or 1.2.")
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", plain):
        raise UnreadableError(
            "is a date: spreadsheets make one of 1/2 or 4-5.", "Write the number like 4, 4.5 or 4½."
        )
    raise UnreadableError("is not a number.", "Write it like 4, 4.5 or 4½.")


def whole(text: str, decimal_comma: bool = False) -> int:
    """Read a whole number; 4.0 is one. Raises UnreadableError."""
    try:
        value = number(text, decimal_comma)
    except UnreadableError:
        raise UnreadableError("is not a whole number.", "Write it in figures, like 4.") from None
    if value != int(value):
        raise UnreadableError("is not a whole number.", "Write a whole number, like 4.")
    return int(value)


def yes_no(text: str, decimal_comma: bool = False) -> bool:
    """Read yes or no. Raises UnreadableError."""
    word = text.casefold()
    if word in ("yes", "y", "true", "1"):
        return True
    if word in ("no", "n", "false", "0"):
        return False
    raise UnreadableError("is neither yes nor no.", "Write yes or no.")


def iso_date(text: str, decimal_comma: bool = False) -> date:
    """Read a date written YYYY-MM-DD (ISO 8601). Raises UnreadableError."""
    try:
        if _DATE.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        raise UnreadableError("is not a day of the calendar.", "Write the date as year-month-day.") from None
    raise UnreadableError("is not a date written YYYY-MM-DD.", "Write it like 2027-05-15.")


def zone(text: str) -> str:
    """Read the name of a time zone of the IANA list. Raises UnreadableError."""
    try:
        return ZoneInfo(text).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UnreadableError(
            "is not a time zone known here.", "Write it like America/Toronto or Europe/London."
        ) from None


def clock(text: str, decimal_comma: bool = False) -> int:
    """Read a time of day as minutes after midnight, 00:00 to 24:00. Raises UnreadableError.

    08:30, 0830, 8:30 am, 8h30, or a share of the day like 0.3125, as spreadsheets store times.
    """
    plain = text.casefold()
    if parts := _TIME.fullmatch(plain):
        minutes = _minutes(int(parts[1]), int(parts[2]), parts[3] or "")
        if minutes is not None:
            return minutes
    elif parts := _HOUR.fullmatch(plain):
        minutes = _minutes(int(parts[1]), 0, parts[2])
        if minutes is not None:
            return minutes
    elif is_share_of_day(plain):
        share = float(plain.replace(",", ".")) * 24 * 60
        if abs(share - round(share)) < 1 / 60 and share < 24 * 60:
            return round(share)
    raise UnreadableError("is not a time of day written HH:MM.", "Write it like 08:30.")


def is_share_of_day(text: str) -> bool:
    """Whether a text is a time as spreadsheets store it, a share of the day."""
    return _SHARE.fullmatch(text) is not None


def _minutes(hours: int, minutes: int, half: str) -> int | None:
    """Return minutes after midnight; `half` starts with a or p on a clock of twelve hours."""
    if half:
        if not 1 <= hours <= 12:
            return None
        hours = hours % 12 + (12 if half.startswith("p") else 0)
    total = hours * 60 + minutes
    return total if minutes < 60 and total <= 24 * 60 else None


def weekdays(text: str, decimal_comma: bool = False) -> tuple[int, ...]:
    """Read weekday names or their first three letters as ISO weekdays, 1 = Monday. Raises UnreadableError."""
    days = set()
    for word in re.split(r"[\s,;/+&]+", text.casefold()):
        if word in ("", "and"):
            continue
        found = [i for i, name in enumerate(_WEEKDAYS, 1) if word in (name, name + "s", name[:3])]
        if not found:
            raise UnreadableError(
                f"holds “{word}”, which is no weekday.", "Write names or three letters, like Sat Sun."
            )
        days.add(found[0])
    return tuple(sorted(days))


def health(text: str, decimal_comma: bool = False) -> str:
    """Read a note on health as clear, not stated, suspected, confirmed or unclear.

    A question mark or the bare name of a disease is "suspected"; text that is not known is never "clear".
    """
    word = " ".join(text.casefold().split())
    if "?" in word:
        return "suspected"
    for meaning, words_of in HEALTH_WORDS.items():
        if word in words_of:
            return meaning
    return "not stated" if word == "not stated" else "unclear"


def identity(text: str, decimal_comma: bool = False) -> str:
    """Keep an id as written: 007 stays 007, NA stays NA; only runs of blanks become one."""
    return " ".join(text.split())


def frame_format(text: str, decimal_comma: bool = False) -> str:
    """Return the name of a frame format in small letters."""
    return " ".join(text.casefold().split())


def words(text: str, decimal_comma: bool = False) -> str:
    """Keep text as written."""
    return text


def choice(text: str, options: tuple[str, ...]) -> str:
    """Return the option meant; capitals and the s of a plural make no difference. Raises UnreadableError."""
    word = " ".join(text.casefold().replace("’", "'").split())
    for option in options:
        if word in (option, option + "s", option + "es", option.removesuffix("s")):
            return option
    raise UnreadableError("is not one of the words used here.", f"Write one of: {', '.join(options)}.")


def distance_m(text: str) -> float:
    """Read a distance with its unit, "3 mi", "5 km" or "900 m", as metres. Raises UnreadableError."""
    parts = _DISTANCE.fullmatch(text.strip().casefold())
    if not parts or parts[2] not in _UNITS_M:
        raise UnreadableError("is not a distance with its unit.", 'Write it like "3 mi", "5 km" or "900 m".')
    return float(parts[1]) * _UNITS_M[parts[2]]


PARSERS: dict[str, Callable[[str, bool], Any]] = {
    "id": identity,
    "text": words,
    "format": frame_format,
    "number": number,
    "whole": whole,
    "yes/no": yes_no,
    "date": iso_date,
    "time": clock,
    "days": weekdays,
    "latitude": places.latitude,
    "longitude": places.longitude,
    "place": places.place,
    "health": health,
}
"""One reader for each kind of column, beside "choice"."""
