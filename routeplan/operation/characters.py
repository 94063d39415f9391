"""Characters nobody sees: blanks of every kind, marks without width, letters written in two ways."""

import re
import unicodedata

_WORD = re.compile(r"[^\W_]+")

JOINERS = "\u200c\u200d"
"""Marks without width that belong inside words of some scripts; at the ends of a cell they mean nothing."""


def clean(text: str) -> str:
    """Return text on one line, as it looks: one blank between words, none at the ends, nothing invisible."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    seen = "".join(_seen(letter) for letter in unicodedata.normalize("NFC", text))
    return " ".join(seen.split()).strip(JOINERS)


def same(text: str) -> str:
    """Return what two spellings of one name have in common: capitals and blanks make no difference."""
    return clean(text).casefold()


def plain_name(header: str) -> str:
    """Return a header as columns are named: small letters, words joined by underscores."""
    return "_".join(_WORD.findall(same(header)))


def is_blank(text: str) -> bool:
    """Whether nothing can be seen in a cell."""
    return not text or text.isspace() or not clean(text)


def _seen(letter: str) -> str:
    kind = unicodedata.category(letter)
    if kind in ("Zs", "Zl", "Zp", "Cc"):
        return " "
    return "" if kind == "Cf" and letter not in JOINERS else letter
