"""From the bytes of a text file to text: UTF-8, UTF-16 or Windows-1252, and nothing guessed beyond these."""

import codecs
import re
from dataclasses import dataclass

from routeplan.operation.refuse import RefusedError

MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
"""Marks at the start of a file that say how it is written; the longer before those it begins with."""

SAVE_AGAIN = "Save it again as “CSV UTF-8”."
_SEVERAL_BYTES = re.compile(rb"[\xc2-\xc5][\x80-\xbf]|\xe2[\x80-\x82][\x80-\xbf]")
"""Letters with accents and signs of print as UTF-8 writes them; hardly ever so in Windows-1252."""
_LETTER_AND_QUOTE = re.compile(rb"[\xc8-\xcb\xdc-\xdf][\x80\x85\x91-\x97]")
"""A letter like ß or É and a sign like ’ or – in Windows-1252; as UTF-8 letters hardly in use."""
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f\x80-\x84\x86-\x9f]")


@dataclass(frozen=True)
class Decoded:
    """Text, and in which way of writing it was read; `said` is False where that is not certain."""

    text: str
    way: str
    said: bool


def decode(data: bytes) -> Decoded:
    """Return the text of a file.

    With a mark at the start it is read as that says. Without, as UTF-16 where every other byte is zero, else
    as UTF-8, else as Windows-1252.

    Raises
    ------
    RefusedError
        When it is none of these, or UTF-8 and Windows-1252 are mixed.
    """
    decoded = _decode(data)
    control = _CONTROL.search(decoded.text)
    if control:
        line = decoded.text.count("\n", 0, control.start()) + 1
        raise RefusedError(f"is not a text file (line {line} holds signs that are no text).", SAVE_AGAIN)
    return decoded


def _decode(data: bytes) -> Decoded:
    for mark, way in MARKS:
        if data.startswith(mark):
            return Decoded(_strictly(data[len(mark) :], way), way.upper(), True)
    way = _unmarked_utf16(data)
    if way:
        return Decoded(_strictly(data, way), "UTF-16", False)
    if not data.isascii() and _LETTER_AND_QUOTE.sub(b"", data).isascii():
        return Decoded(_strictly(data, "windows-1252"), "Windows-1252", False)
    try:
        return Decoded(data.decode("utf-8"), "UTF-8", True)
    except UnicodeDecodeError as fault:
        if _SEVERAL_BYTES.search(data):
            problem = f"is UTF-8 text with other signs in it (byte {fault.start + 1})."
            raise RefusedError(problem, SAVE_AGAIN) from fault
        return Decoded(_strictly(data, "windows-1252"), "Windows-1252", False)


def _strictly(data: bytes, way: str) -> str:
    try:
        return data.decode(way)
    except UnicodeDecodeError as fault:
        name = "neither UTF-8 nor Windows-1252" if way == "windows-1252" else f"not {way.upper()}"
        raise RefusedError(f"is {name} text (byte {fault.start + 1}).", SAVE_AGAIN) from fault


def _unmarked_utf16(data: bytes) -> str:
    """Return the byte order of UTF-16 text without a mark: most of its letters have a zero byte."""
    sample = data[:4096]
    half = len(sample) // 2
    if half and sample[1::2].count(0) > 0.6 * half and not sample[0::2].count(0):
        return "utf-16-le"
    if half and sample[0::2].count(0) > 0.6 * half and not sample[1::2].count(0):
        return "utf-16-be"
    return ""
