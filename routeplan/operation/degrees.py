"""Angles as people write them: decimal degrees, degrees and minutes, degrees, minutes and seconds.

Which sign or letter stands where is settled before any number is read; what can be read two ways is refused.
"""

import re
import unicodedata
from dataclasses import dataclass

from routeplan.operation.unreadable import UnreadableError

METRES_A_DEGREE = 111_320.0  # along a meridian, rounded; only to say how fine a position is
LETTERS = {"lat": "NS", "lon": "EW"}
NAMES = {"lat": "latitude", "lon": "longitude"}
MOST = {"lat": 90, "lon": 180}
LIKE = {"lat": "Write it like 52.0613 or 52°03′40.7″N.", "lon": "Write it like -2.7154 or 2°42′55.4″W."}
MOST_LETTERS = 200
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
UNREADABLE = "is not a position that can be read."
PAIR_CURE = "Write latitude, comma, longitude: 52.0613, -2.7154."

_SIGNS = {
    "°": "°º˚⁰∘",
    "′": "′'’‘‛´`ʹʼ＇",
    "″": '″"“”„‟ʺ〃＂',
    "-": "-−–—‐‑﹣－",
    "+": "+＋",
    ".": ".．",
    ",": ",，、",
}
_SIGN = {written: sign for sign, all_written in _SIGNS.items() for written in all_written}
_WORDS = {
    r"(?<=[0-9. ])DEG(?:REES?)?\b\.?": "°",
    r"(?<=[0-9. ])MIN(?:UTES?)?\b\.?": "′",
    r"(?<=[0-9. ])SEC(?:ONDS?)?\b\.?": "″",
    r"(?<=[0-9 ])D *([0-9.,]+) *M *([0-9.,]+) *S(?![A-Z])": r"°\1′\2″",
    r"(?<=[0-9 ])D *([0-9.,]+) *M(?![A-Z])": r"°\1′",
    r"\bNORTH\b": "N",
    r"\bSOUTH\b": "S",
    r"\bEAST\b": "E",
    r"\bWEST\b": "W",
}
_NUMBER = "[0-9]+(?:[.,][0-9]+)?"
_ANGLE = re.compile(
    rf"(?P<d>{_NUMBER})(?: *°|(?: *[°:] *|[ -])(?P<m>{_NUMBER})"
    rf"(?: *′|(?: *[′:] *|[ -])(?P<s>{_NUMBER})(?: *″)?)?)?"
)
_COORDINATE = re.compile(r"(?P<before>[A-Z]?) *(?P<sign>[+-]?) *(?P<angle>[^A-Z+]*?) *(?P<after>[A-Z]?)")
_TWO = re.compile(r"°.*°|[NSEW].*[NSEW]|[0-9]\.[0-9]+[ ,;NSEW]+[+-]?[0-9]+\.[0-9]")
_LABEL = r"(LAT|LON|LNG)[A-Z]*\.? *[:=]? *"
_LABELLED = re.compile(rf"{_LABEL}([^A-Z]*[NSEW]?)[ ,;]*{_LABEL}([^A-Z]*[NSEW]?)")
_ISO_6709 = re.compile(
    r"([+-][0-9]{2})([0-9]{2})?([0-9]{2})?(\.[0-9]+)?([+-][0-9]{3})([0-9]{2})?([0-9]{2})?(\.[0-9]+)?"
    r"(?:[+-][0-9]+(?:\.[0-9]+)?)?(?:CRSWGS_?84)?/?"
)


@dataclass(frozen=True)
class Angle:
    """One coordinate.

    Attributes
    ----------
    axis : "lat" or "lon" where a letter says so, else "".
    degrees : with its sign, south and west negative.
    directed : whether a sign or a letter was written.
    parts : 1 for degrees alone, 2 with minutes, 3 with seconds too.
    step : one of the last figure written, in degrees.
    """

    axis: str
    degrees: float
    directed: bool
    parts: int
    step: float


def plain(text: str) -> str:
    """Return a text in capitals with one sign for each meaning: ° ′ ″ -, plain blanks, nothing invisible."""
    seen = []
    for letter in text:
        figure = unicodedata.decimal(letter, None)
        if figure is not None:
            seen.append(str(figure))
        elif letter.isspace():
            seen.append(" ")
        elif unicodedata.category(letter) != "Cf":
            seen.append(_SIGN.get(letter, letter))
    return " ".join("".join(seen).replace("′′", "″").upper().split())


def _signed(text: str) -> str:
    """Return a plain text with signs and letters in place of words. Raises UnreadableError for a long one."""
    if len(text) > MOST_LETTERS:
        raise UnreadableError("is too long for a position.", PAIR_CURE)
    written = plain(text)
    for pattern, sign in _WORDS.items():
        written = re.sub(pattern, sign, written)
    return " ".join(written.split())


def one(text: str, axis: str) -> Angle:
    """Read one coordinate of an axis, "lat" or "lon". Raises UnreadableError."""
    written = _signed(text)
    if _DATE.fullmatch(written):
        raise UnreadableError("is a date: spreadsheets make one of figures like 1-2.", LIKE[axis])
    if _TWO.search(written):
        raise UnreadableError("is two coordinates in one cell.", "Write both under place, latitude first.")
    try:
        angle = _coordinate(written)
    except UnreadableError as fault:
        if fault.problem != UNREADABLE:
            raise
        raise UnreadableError(f"is not a {NAMES[axis]} that can be read.", LIKE[axis]) from None
    return on_axis(angle, axis)


def two(text: str) -> tuple[Angle, Angle]:
    """Read latitude and longitude from one text, in this order unless letters or labels say otherwise.

    Raises UnreadableError.
    """
    a, b = map(_coordinate, _halves(_signed(text)))
    if a.axis == b.axis != "":
        raise UnreadableError(f"holds two {NAMES[a.axis]}s.", "Write N or S with one, E or W with the other.")
    if a.axis == "lon" or b.axis == "lat":
        a, b = b, a
    if a.axis + b.axis and not (a.directed and b.directed):
        missing = "E or W" if a.directed else "N or S"
        raise UnreadableError(f"does not say {missing}.", "Write a letter, or a sign, with both.")
    if (a.parts == 1) != (b.parts == 1):
        raise UnreadableError("has minutes in one half only.", "Write both halves the same way.")
    a, b = on_axis(a, "lat"), on_axis(b, "lon")
    if a.step >= 1 and b.step >= 1:
        raise UnreadableError("is whole degrees only: good to some 50 km.", f"Write decimals. {PAIR_CURE}")
    return a, b


def on_axis(angle: Angle, axis: str) -> Angle:
    """Return a coordinate that can be one of this axis. Raises UnreadableError."""
    if angle.axis not in ("", axis):
        raise UnreadableError(f"is no {NAMES[axis]}: its letter says otherwise.", LIKE[axis])
    size = abs(angle.degrees)
    if size > 360 and (angle.degrees < 0 or not 100_000 <= size <= 10_000_000):
        lost = "its decimal mark may be lost, or its degrees and minutes run together"
        raise UnreadableError(f"is no {NAMES[axis]}: {lost}.", LIKE[axis])
    if size > 360:
        raise UnreadableError(
            f"is no {NAMES[axis]}: it looks like metres on a grid.",
            "Write easting and northing under place with zone and hemisphere, like 18T 468520 4994210.",
        )
    if size > MOST[axis]:
        cure = "Look whether lat and lon are in each other's place."
        raise UnreadableError(f"is no {NAMES[axis]}: beyond {MOST[axis]} degrees.", cure)
    return angle


def _halves(written: str) -> tuple[str, str]:
    """Part a text where its second coordinate begins. Raises UnreadableError where that is not clear."""
    labelled = _LABELLED.fullmatch(written)
    if labelled:
        return _by_label(*labelled.groups())
    iso = _ISO_6709.fullmatch(written)
    if iso and [iso[2], iso[3]].count(None) == [iso[6], iso[7]].count(None):
        return _iso_half(*iso.groups()[:4]), _iso_half(*iso.groups()[4:])
    written = written.removeprefix("(").removesuffix(")").strip(" ,;")
    letters = [i for i, c in enumerate(written) if c in "NSEW"]
    if len(letters) != 2:
        cut = _cut(written)
    elif letters[0] == 0:
        cut = letters[1]
    else:
        cut = letters[0] + 1
    first, second = written[:cut].rstrip(" ,;/"), written[cut:].lstrip(" ,;/")
    if not first or not second:
        raise UnreadableError("is not a position.", PAIR_CURE)
    return first, second


def _cut(written: str) -> int:
    """Find where the second coordinate begins when letters do not tell."""
    apart = [m.start() for m in re.finditer("[;/]", written)] or [
        m.start() for m in re.finditer(", ", written)
    ]
    if len(apart) == 1:
        return apart[0]
    commas = [m.start() for m in re.finditer(",", written)]
    if len(commas) == 1 and not _two_ways(written):
        return commas[0]
    if len(commas) in (0, 2) and not apart:
        for pattern in (r"(?<![0-9.,])[+-]?[0-9]{1,3}(?:[.,][0-9]+)? *°", r"(?<= )[+-] ?[0-9]"):
            starts = [m.start() for m in re.finditer(pattern, written) if m.start() > 0]
            if len(starts) == 1:
                return starts[0]
        blanks = [m.start() for m in re.finditer(" ", written)]
        if len(blanks) in (1, 3, 5) and "°" not in written:
            return blanks[len(blanks) // 2]
    inside = [i for i, c in enumerate(written) if c in "NSEW" and 0 < i < len(written) - 1]
    if len(inside) == 1 and not commas:
        return inside[0] + 1
    if commas:
        cure = f"Part them by a semicolon, or: {PAIR_CURE[0].lower()}{PAIR_CURE[1:]}"
        raise UnreadableError("can be read in more than one way.", cure)
    raise UnreadableError("is not a position.", PAIR_CURE)


def _two_ways(written: str) -> bool:
    """Whether the only comma may as well be a decimal mark."""
    bare = "°" not in written
    return bare and (" " in written or bool(re.fullmatch("[+-]?[0-9]+,[0-9]+", written)))


def _by_label(label: str, first: str, other: str, second: str) -> tuple[str, str]:
    if (label == "LAT") == (other == "LAT"):
        raise UnreadableError("names one coordinate twice.", PAIR_CURE)
    halves = first.strip(" ,;"), second.strip(" ,;")
    return halves if label == "LAT" else (halves[1], halves[0])


def _iso_half(degrees: str, minutes: str | None, seconds: str | None, fraction: str | None) -> str:
    """Write half of an ISO 6709 text with blanks between its parts."""
    return " ".join(part for part in (degrees, minutes, seconds) if part) + (fraction or "")


def _coordinate(written: str) -> Angle:
    """Read one coordinate. Raises UnreadableError."""
    parts = _COORDINATE.fullmatch(written)
    angle = parts and _ANGLE.fullmatch(parts["angle"])
    letters = (parts["before"] + parts["after"]) if parts else ""
    if not parts or not angle or len(letters) > 1:
        raise UnreadableError(UNREADABLE, PAIR_CURE)
    if letters and letters not in "NSEW":
        raise UnreadableError(
            f"has a letter {letters} that is none of N, S, E and W.", "Write E for east, W for west."
        )
    if letters and parts["sign"]:
        raise UnreadableError("has both a sign and a letter.", "Keep one of the two.")
    axis = next((axis for axis, both in LETTERS.items() if letters and letters in both), "")
    size, count, step = _size(angle)
    negative = parts["sign"] == "-" or letters in ("S", "W")
    return Angle(axis, -size if negative else size, bool(letters or parts["sign"]), count, step)


def _size(angle: re.Match[str]) -> tuple[float, int, float]:
    """Return degrees without sign, how many parts they were written in, and one of the last figure."""
    texts = [text.replace(",", ".") for text in angle.group("d", "m", "s") if text]
    if any("." in text for text in texts[:-1]):
        raise UnreadableError("has a fraction before its last part.", "Only the last part may have decimals.")
    figures = [float(text) for text in texts]
    for name, value in zip(("minutes", "seconds"), figures[1:], strict=False):
        if value >= 60:
            raise UnreadableError(f"has {value:g} {name}; they end below 60.", "Look at the figure again.")
    decimals = len(texts[-1].partition(".")[2])
    size = sum(value / 60**i for i, value in enumerate(figures))
    return size, len(figures), 10.0**-decimals / 60 ** (len(figures) - 1)
