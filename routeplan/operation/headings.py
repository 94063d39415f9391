"""From a grid to a sheet: which rows are headers, which are titles, units or totals, all of it said."""

import re
from collections.abc import Callable, Iterator, Sequence

from routeplan.operation.characters import clean, is_blank, same
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Grid, Sheet
from routeplan.operation.own_words import NONE, OwnWords
from routeplan.operation.synonyms import column_named, is_unit

Named = Callable[[str], str | None]
"""From a header as written to the column it names, None for none."""

LOOKED_AT = 20
"""Filled rows at the start of a table in which its headers are looked for."""

_TOTAL = re.compile(r"(?:grand |sub-?)?(?:totals?|sums?|averages?|avg|means?|count|σ|∑)\s*:?")
_TOTAL_OF = re.compile(r"(?:(?:sub-?)?totals?|sum|average|mean) .+|.+ (?:sub-?)?totals?:?")
_FIGURE = re.compile(r"[-+−]?[\d.,\s]*[½¼¾⅓⅔⅛⅜⅝⅞]?%?|#\S+")


def lay_out(grid: Grid, table: str, words: OwnWords = NONE) -> tuple[Sheet, list[Finding]]:
    """Find the headers of a table and leave out what is no row of it; each kind left out is one warning.

    The header row is the one of the first rows with most known columns. Blank places in it are filled from
    the row above or below where that makes more columns known (headers in two rows, merged cells).
    """
    named = _namer(table, words)
    first, last = _header_rows(grid, named)
    header = _joined(grid.rows[first : last + 1], named)
    rows, findings = grid.rows[last + 1 :], list(_titles(grid, first))
    if rows and all(is_unit(cell) for cell in rows[0][1] if not is_blank(cell)):
        findings += _left_out(grid, rows[:1], "a row of units", "Write units in brackets behind the headers.")
        rows = rows[1:]
    totals = [row for row in rows if is_total(row[1])]
    names = {same(name) for name in header}
    again = [row for row in rows if _is_header_again(row[1], names)]
    findings += _left_out(grid, totals, "a total, not one of the rows", "Give it another name if it is one.")
    findings += _left_out(grid, again, "the headers once more", "Delete it.")
    out = {number for number, _ in (*totals, *again)}
    kept = tuple(row for row in rows if row[0] not in out) if out else tuple(rows)
    findings += _hidden(grid, kept)
    findings += _struck(grid, kept)
    findings += _hidden_columns(grid, header, named)
    sheet = Sheet(
        table, grid.label, header, kept, grid.decimal_comma, grid.days_from_1904, grid.marks, grid.typed
    )
    return sheet, findings


def under_first_row(grid: Grid) -> Sheet:
    """Return a grid whose first filled row holds the headers, whatever they are."""
    header = tuple(clean(cell) for cell in grid.rows[0][1]) if grid.rows else ()
    return Sheet(grid.name, grid.label, header, tuple(grid.rows[1:]), grid.decimal_comma)


def _namer(table: str, words: OwnWords) -> Named:
    return lambda header: column_named(table, header, words)


def known_columns(grid: Grid, table: str, words: OwnWords = NONE) -> set[str]:
    """Return the columns of a table that the headers of a grid name."""
    named = _namer(table, words)
    first, last = _header_rows(grid, named)
    return _known(_joined(grid.rows[first : last + 1], named), named)


def is_total(cells: Sequence[str]) -> bool:
    """Whether a row sums up others: its first filled cell says so, or says so beside nothing but figures."""
    label = same(next((cell for cell in cells if not is_blank(cell)), ""))
    if _TOTAL.fullmatch(label):
        return True
    if not _TOTAL_OF.fullmatch(label):
        return False
    figures = [same(cell) for cell in cells if not is_blank(cell)][1:]
    return bool(figures) and all(map(_FIGURE.fullmatch, figures))


def _header_rows(grid: Grid, named: Named) -> tuple[int, int]:
    """Return the first and last of the header rows, counted in filled rows from 0."""
    rows = grid.rows[:LOOKED_AT]
    if not rows:
        return 0, -1
    scores = [len(_known(cells, named)) for _, cells in rows]
    first = last = scores.index(max(scores))
    while scores[last] and first > 0 and _more(rows[first - 1 : last + 1], rows[first : last + 1], named):
        first -= 1
    while last + 1 < len(rows) and _is_header_below(rows, first, last, named):
        last += 1
    return first, last


def _is_header_below(rows: Sequence[tuple[int, Sequence[str]]], first: int, last: int, named: Named) -> bool:
    below = [cell for cell in rows[last + 1][1] if not is_blank(cell)]
    joined = _more(rows[first : last + 2], rows[first : last + 1], named)
    return joined and all(named(cell) for cell in below)


def _more(
    rows: Sequence[tuple[int, Sequence[str]]], fewer: Sequence[tuple[int, Sequence[str]]], named: Named
) -> bool:
    return len(_known(_joined(rows, named), named)) > len(_known(_joined(fewer, named), named))


def _known(cells: Sequence[str], named: Named) -> set[str]:
    return {name for name in map(named, cells) if name}


def _joined(rows: Sequence[tuple[int, Sequence[str]]], named: Named) -> tuple[str, ...]:
    """Join header rows cell by cell, the upper ones merged to the right over the lower ones."""
    header: list[str] = []
    for _, cells in rows:
        lower = [clean(cell) for cell in cells]
        header = _join(header, lower, named) if header else lower
    return tuple(header)


def _join(upper: list[str], lower: list[str], named: Named) -> list[str]:
    width = max(len(upper), len(lower))
    upper = upper + [""] * (width - len(upper))
    lower = lower + [""] * (width - len(lower))
    joined, over = [], ""
    for above, below in zip(upper, lower, strict=True):
        over = above or over
        both = f"{over} {below}".strip()
        if not below:
            joined.append(above)
        elif named(both):
            joined.append(both)
        elif named(below) or not named(above):
            joined.append(below)
        else:
            joined.append(above)
    return joined


def _titles(grid: Grid, first: int) -> Iterator[Finding]:
    if not first:
        return
    above = grid.rows[:first]
    text = next(clean(cell) for cell in above[0][1] if not is_blank(cell))
    numbers = f"row {above[0][0]}" if first == 1 else f"rows {above[0][0]} to {above[-1][0]}"
    verb = "stands" if first == 1 else "stand"
    message = f"{numbers.capitalize()} {verb} above the headers and {'is' if first == 1 else 'are'} not read."
    yield Finding("warning", grid.label, above[0][0], None, text, message, "Keep titles out of the table.")


def _is_header_again(cells: Sequence[str], names: set[str]) -> bool:
    return all(is_blank(cell) or same(cell) in names for cell in cells)


def _left_out(
    grid: Grid, rows: Sequence[tuple[int, Sequence[str]]], what: str, cure: str
) -> Iterator[Finding]:
    if rows:
        number, cells = rows[0]
        text = next(clean(cell) for cell in cells if not is_blank(cell))
        message = f"“{text}” is read as {what}, and left out{also([n for n, _ in rows[1:]])}."
        yield Finding("warning", grid.label, number, None, text, message, cure)


def _hidden(grid: Grid, kept: Sequence[tuple[int, Sequence[str]]]) -> Iterator[Finding]:
    hidden = set(grid.hidden)
    numbers = [number for number, _ in kept if number in hidden]
    if numbers:
        rows = "1 hidden row is" if len(numbers) == 1 else f"{len(numbers)} hidden rows are"
        message = f"{rows} included{also(numbers[1:])}."
        cure = "Delete what is not to be planned with; a filter only hides it."
        yield Finding("warning", grid.label, numbers[0], None, "", message, cure)


def _struck(grid: Grid, kept: Sequence[tuple[int, Sequence[str]]]) -> Iterator[Finding]:
    struck = set(grid.struck)
    numbers = [number for number, _ in kept if number in struck]
    if numbers:
        rows = "1 row is struck out" if len(numbers) == 1 else f"{len(numbers)} rows are struck out"
        message = f"{rows}, and read all the same{also(numbers[1:])}."
        cure = "Delete what is no longer there."
        yield Finding("warning", grid.label, numbers[0], None, "", message, cure)


def _hidden_columns(grid: Grid, header: Sequence[str], named: Named) -> Iterator[Finding]:
    known = [header[i] for i in grid.hidden_columns if i < len(header) and named(header[i])]
    if known:
        verb = "is hidden, and" if len(known) == 1 else f"and {len(known) - 1} more are hidden, and"
        message = f"The column {known[0]} {verb} read all the same."
        yield Finding("warning", grid.label, None, known[0], "", message, "Show it to see what is read.")


def also(numbers: Sequence[int], most: int = 5) -> str:
    """Return where the same is found too, "" for nowhere."""
    if not numbers:
        return ""
    more = f" and {len(numbers) - most} more" if len(numbers) > most else ""
    return f" (also row{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers[:most]))}{more})"
