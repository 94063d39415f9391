"""Texts of the tables made fit for files that cannot hold every character."""

import re

UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Characters that XML 1.0 (section 2.2) cannot hold, and so neither a workbook nor a file of way points."""


def writable(text: str) -> str:
    """Return the text with a replacement mark for each character that cannot be written."""
    return UNWRITABLE.sub("\ufffd", text)
