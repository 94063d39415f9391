"""The beekeeper's own headers and codes, as settings.toml says them."""

from dataclasses import dataclass

from routeplan.operation.characters import plain_name, same


@dataclass(frozen=True)
class OwnHeader:
    """One header of one table stands for a column; a number under it counts `each` of the column's unit."""

    table: str
    header: str
    column: str
    each: float = 1.0


@dataclass(frozen=True)
class OwnCode:
    """One code in one column stands for a text that is read there."""

    table: str
    column: str
    code: str
    meaning: str


@dataclass(frozen=True)
class OwnWords:
    """All of one beekeeper's headers and codes."""

    headers: tuple[OwnHeader, ...] = ()
    codes: tuple[OwnCode, ...] = ()

    def column(self, table: str, header: str) -> str | None:
        """Return the column a header stands for, None where it is none of the beekeeper's own."""
        found = self._header(table, header)
        return found.column if found else None

    def each(self, table: str, header: str) -> float:
        """Return how much one of what stands under a header is, in the unit of its column."""
        found = self._header(table, header)
        return found.each if found else 1.0

    def meanings(self, table: str, column: str) -> dict[str, str]:
        """Return what the codes of a column stand for, by code in small letters."""
        return {same(o.code): o.meaning for o in self.codes if (o.table, o.column) == (table, column)}

    def _header(self, table: str, header: str) -> OwnHeader | None:
        name = plain_name(header)
        return next((o for o in self.headers if o.table == table and plain_name(o.header) == name), None)


NONE = OwnWords()
