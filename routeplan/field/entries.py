"""What one line of field notes may say: its words, columns and which of them belong together.

Reading and data/README.md both follow it.
"""

from dataclasses import dataclass

from routeplan.operation.columns import Column

QUEEN_WORDS = ("seen", "not_seen", "gone")
COUNTS = ("capped", "open", "food", "bees")
FOUND = (*COUNTS, "queen", "queen_cells", "health")
"""What was found in a hive."""


@dataclass(frozen=True)
class Saying:
    """What one word of the column `what` means, with the columns that must be filled and that may be.

    `value` is the column that a plain value of a JSON entry fills, "" where it takes none or an object.
    """

    meaning: str
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    value: str = ""

    @property
    def uses(self) -> frozenset[str]:
        """All columns this word goes with, those of every entry included."""
        return frozenset((*self.needs, *self.may, *EVERYWHERE))


EVERYWHERE = ("at", "stop", "yard", "what", "note")

SAYINGS: dict[str, Saying] = {
    "arrived": Saying("the truck stands at the yard"),
    "left": Saying("the truck left the yard; what is not said otherwise was done there as planned"),
    "could_not": Saying(
        "the stop, the hive or the box could not be done as planned",
        may=("hive", "box", "reason"),
        value="reason",
    ),
    "hive_done": Saying("the hive is closed again, all planned was taken", needs=("hive",)),
    "found": Saying(
        "what the hive held before anything was taken; without a hive: what is suspected of the whole yard",
        may=("hive", *FOUND),
    ),
    "frame_taken": Saying(
        "frames that left the hive for the box (bees: shakes), in place of all planned for it at that stop",
        needs=("hive", "box"),
        may=COUNTS,
    ),
    "split_made": Saying("the split of that box is made and closed", needs=("box",)),
    "split_placed": Saying(
        "the box stands at its new yard: to_yard, else the yard of the stop",
        needs=("box",),
        may=("to_yard",),
        value="to_yard",
    ),
    "closed": Saying("the box was shut in at that time", needs=("box",)),
    "opened": Saying("the box was opened at that time; without a box: all placed at the stop", may=("box",)),
    "put_back": Saying(
        "combs put into the hive for the frames taken", needs=("hive", "count"), value="count"
    ),
    "note": Saying("anything else", may=("hive", "box"), value="note"),
}
"""Every word of the column `what`."""


def _frames(name: str, meaning: str, example: str) -> Column:
    return Column(name, "number", meaning, "frames", example, blank="as recorded", most=100)


COLUMNS = (
    Column("at", "time", "when", "HH:MM", "10:35", "the time of the line before"),
    Column("stop", "whole", "number of the stop on the day sheet", example="2", blank="see yard", least=1),
    Column("yard", "id", "name of the yard", example="Long Meadow", blank="that of the stop", default=""),
    Column("hive", "id", "name of the hive", example="007", blank="none", default=""),
    Column("box", "whole", "number of the box on the day sheet", example="3", blank="none", least=1),
    Column("what", "choice", "what happened, see below", example="found", required=True, options=(*SAYINGS,)),
    _frames("capped", "sealed brood", "4½"),
    _frames("open", "eggs and young larvae", "3"),
    _frames("food", "honey and pollen", "2"),
    _frames("bees", "frames covered with bees; taken: frames' bees shaken in", "12"),
    Column(
        "queen",
        "choice",
        "whether the queen was seen; gone: the hive is queenless",
        example="not_seen",
        blank="as recorded",
        default="",
        options=QUEEN_WORDS,
    ),
    Column("queen_cells", "whole", "charged queen cells", "cells", "2", "as recorded", most=100),
    Column(
        "health",
        "health",
        "clear, suspect or confirmed; other than clear goes for the whole yard",
        example="clear",
        blank="as recorded",
        default="",
    ),
    Column("to_yard", "id", "where the box was placed", example="Quarry Top", blank="see yard", default=""),
    Column("count", "whole", "combs put back", "combs", "3", "as many as were taken"),
    Column("reason", "text", "why it could not be done", example="gate locked", blank="not said", default=""),
    Column("note", "text", "anything else", example="ring the farmer", blank="nothing", default=""),
)
"""The columns of field notes written as a table."""


@dataclass(frozen=True)
class Found:
    """What was found in a hive; None and "" are not said. `queen_cells` are charged ones."""

    capped: float | None = None
    open: float | None = None
    food: float | None = None
    bees: float | None = None
    queen: str = ""
    queen_cells: int | None = None
    health: str = ""


@dataclass(frozen=True)
class Entry:
    """One line of field notes.

    `at_min` is minutes after midnight, `box` the number on the day sheet, `place` where the line stands, for
    messages. `found` holds counts found, or frames and shakes taken (`bees`: shakes).
    """

    what: str
    at_min: int | None = None
    stop: int | None = None
    yard: str = ""
    hive: str = ""
    box: int | None = None
    found: Found = Found()
    to_yard: str = ""
    count: int | None = None
    reason: str = ""
    note: str = ""
    place: str = ""
