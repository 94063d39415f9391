"""Whole numbers that a workbook shows with letters or marks of its own: 7 as C007, 107 as 1-07."""

import re

_PART = re.compile(r'"([^"]*)"|\\(.)|([-/:])|([0#])')
"""Parts of a number format (ISO/IEC 29500, 18.8.30): text, one letter, a mark, a place for a figure."""


def shown(code: str, figures: str) -> str:
    """Return how a format shows a whole number, "" where it is not one of text and figures alone."""
    parts = list(_PART.finditer(code))
    places = [i for i, part in enumerate(parts) if part[4]]
    if sum(len(part[0]) for part in parts) != len(code) or not 0 < len(places) < len(parts):
        return ""
    written: list[str] = []
    for i, part in reversed(list(enumerate(parts))):
        if part[4]:
            taken = len(figures) if i == places[0] else 1
            written.append(figures[-taken:] if figures else part[4].strip("#"))
            figures = figures[:-taken]
        else:
            written.append(part[1] or part[2] or part[3] or "")
    return "".join(reversed(written))
