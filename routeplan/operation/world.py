"""The input, complete and valid before anything is planned.

Positions are WGS-84 degrees, always named lat and lon. Times of day are minutes after midnight.
Counts are frames (one frame = both sides of one comb of the hive's own format); None means not known,
never zero. Ids are the beekeeper's own text; a hive's id is unique in its yard only.
"""

from dataclasses import dataclass, field
from datetime import date

from routeplan.operation.settings import Settings

KINDS = ("capped", "open", "food", "shake")
"""What leaves a hive: sealed brood, eggs and young larvae, honey and pollen, one frame's bees shaken in."""

HEALTH_USABLE = ("clear", "not stated")
QUEENS_NOT_LAYING = ("queenless", "drone layer", "laying workers")
QUEEN_WAYS = ("raise own", "ripe cell", "mated", "parent's", "own cells")
"""How a split gets its queen. "parent's": the parent's queen goes with the split and the parent raises a new
one. "own cells": a hive with charged queen cells is split in its own right, one frame with a cell leaves."""


@dataclass(frozen=True)
class Place:
    """A point on the ground, WGS-84 degrees."""

    lat: float
    lon: float


@dataclass(frozen=True)
class Yard:
    """A place where hives stand.

    `room` is how many more hives it can take (None: not limited). `health` is "clear", "not stated",
    "suspected", "confirmed" or "unclear" (text that is none of the known words). `parking` is where the
    truck stops, `carry_min` one way on foot from there per box. `closed_days` are ISO weekdays, 1 = Monday.
    `due`: its hives are due for inspection on the day anyway. `looked_after`: somebody comes by every week
    anyway. `flow_from`, `flow_until`: first and last day of a flow. `bear`: bears come here; `fence`: an
    electric fence stands (None: not known).
    """

    id: str
    place: Place
    room: int | None = None
    takes_splits: bool = True
    parking: Place | None = None
    carry_min: float = 0.0
    opens_min: int | None = None
    closes_min: int | None = None
    closed_days: tuple[int, ...] = ()
    closed_until: date | None = None
    health: str = "not stated"
    due: bool = False
    looked_after: bool = False
    flow_from: date | None = None
    flow_until: date | None = None
    bear: bool = False
    fence: bool | None = None
    access: str = ""
    gate: str = ""
    note: str = ""
    row: int = field(default=0, compare=False)

    @property
    def stop(self) -> Place:
        """Where the truck stands."""
        return self.parking or self.place

    def has_flow(self, day: date, dearth: bool) -> bool:
        """Whether bees find a flow here: by the yard's own dates, else unless a dearth is set."""
        if self.flow_from is None and self.flow_until is None:
            return not dearth
        begun = self.flow_from is None or self.flow_from <= day
        return begun and (self.flow_until is None or day <= self.flow_until)


@dataclass(frozen=True)
class Count:
    """One look into a hive. `capped` and `open` may be None while the total `brood` is known."""

    inspected: date | None = None
    bees: float | None = None
    brood: float | None = None
    capped: float | None = None
    open: float | None = None
    food: float | None = None
    eggs_seen: bool | None = None
    queen_cells: str = "not stated"
    mites_per_100: float | None = None
    treated_until: date | None = None


@dataclass(frozen=True)
class Look:
    """One row of the hives table that is dated: whether eggs were seen, until when it is treated, whether a
    test frame was given."""

    yard: str
    hive: str
    day: date
    eggs: bool = False
    treated_until: date | None = None
    test_frame: bool = False


@dataclass(frozen=True)
class Hive:
    """One colony with its newest count.

    `queen` is "marked", "unmarked", "unknown", "queenless", "drone layer" or "laying workers"; `temper`
    "calm", "normal" or "bad"; `boxes` brood boxes, `supers` honey supers; `queen_cells` of the count
    "none", "cups", "charged" or "not stated". `excluder`: a queen excluder lies under the supers. `due`: due
    for inspection on the day anyway. `grade`: the beekeeper's own word for its strength, "" for none; where
    counts were blank they came from it.
    """

    id: str
    yard: str
    frame: str
    count: Count
    queen: str = "unknown"
    temper: str = "normal"
    health: str = "not stated"
    may_give: bool = True
    queen_mother: bool = False
    boxes: int = 1
    supers: int = 0
    excluder: bool = False
    due: bool = False
    grade: str = ""
    note: str = ""
    row: int = field(default=0, compare=False)

    @property
    def key(self) -> tuple[str, str]:
        """(yard id, hive id): what identifies a hive."""
        return (self.yard, self.id)


@dataclass(frozen=True)
class Kit:
    """What one split must receive, in whole frames, and the combs that fill its box from stock.

    `frame` is the frame format the kit is for, None for any. A box goes out with `combs` combs.
    `capped_most`, `open_most`, `shakes_most`: as far as the plan may go where floors ask for more (None: as
    written); more frames take the place of `fill`.
    """

    name: str
    capped: int = 0
    open: int = 0
    food: int = 0
    shakes: int = 0
    drawn: int = 0
    fill: int = 0
    frame: str | None = None
    capped_most: int | None = None
    open_most: int | None = None
    shakes_most: int | None = None

    @property
    def frames(self) -> int:
        """Frames that come out of hives."""
        return self.capped + self.open + self.food

    @property
    def combs(self) -> int:
        """Combs in the finished box, and so also the combs it leaves home with."""
        return self.frames + self.drawn + self.fill


TRADE_KITS = (
    Kit("three-frame", capped=1, open=1, food=1, shakes=2, fill=2),
    Kit("four-frame", capped=2, open=1, food=1, shakes=2, drawn=1),
    Kit("five-frame", capped=2, open=1, food=2, shakes=2),
)
"""Kits that exist without a table (common practice). A row of the kits table by that name replaces one."""


@dataclass(frozen=True)
class Order:
    """Splits asked for: `count` of one kit and one way to a queen. Lower `priority` goes first.

    `hive` names one hive of `from_yard` that is split in its own right: all frames and bees of these splits
    are its own, and it gives to no other split. `break_up`: nothing stays of it; all orders that name it are
    made together or none is, and its queen goes with one of them.
    """

    id: str
    count: int
    kit: str
    queen: str = "raise own"
    from_yard: str | None = None
    to_yard: str | None = None
    by: date | None = None
    priority: int = 1
    hive: str | None = None
    ready_by: date | None = None
    break_up: bool = False
    row: int = field(default=0, compare=False)


@dataclass(frozen=True)
class Crew:
    """Who drives, from where, and when. `places` is how many full boxes the truck holds (None: no limit)."""

    name: str
    home: Place
    people: int = 2
    start_min: int = 7 * 60
    end_min: int = 19 * 60
    hives_from_min: int = 10 * 60
    hives_until_min: int = 17 * 60
    places: int | None = None
    empties_per_place: int = 4


STOCK_ITEMS = (
    "drawn comb",
    "foundation",
    "nuc box",
    "food comb",
    "feeder",
    "mated queen",
    "ripe cell",
    "fence kit",
    "excluder",
)


@dataclass(frozen=True)
class Stock:
    """Counted things at home; `item` is one of STOCK_ITEMS.

    `frame` is the format of combs and boxes, "" for all else. `from_day`, `until_day`: first and last day a
    queen or a cell can be used (a cell: goes into the split; that is the day after the split is made).
    """

    item: str
    frame: str
    count: int
    from_day: date | None = None
    until_day: date | None = None
    row: int = field(default=0, compare=False)


@dataclass(frozen=True)
class FrameLook:
    """One frame of a hive as it was seen: tenths of its two sides (20 are all of it) by kind.

    `number` counts from one side of the box. `emerging`: bees are emerging. `eggs`: its open brood is
    mostly eggs and tiny larvae.
    """

    yard: str
    hive: str
    number: int
    capped: float = 0.0
    open: float = 0.0
    food: float = 0.0
    emerging: bool = False
    eggs: bool = False


@dataclass(frozen=True)
class Weather:
    """A forecast typed in by the beekeeper. `yard` None means everywhere."""

    day: date
    yard: str | None
    max_c: float


@dataclass(frozen=True)
class Pair:
    """What is known better about two yards: `flying_m` for the distance rule, `drive_min` for the road."""

    yard: str
    other: str
    flying_m: float | None = None
    drive_min: float | None = None


@dataclass(frozen=True)
class Operation:
    """Everything a plan is made from. Tuples are sorted by id, so the same input gives the same plan."""

    day: date
    yards: tuple[Yard, ...]
    hives: tuple[Hive, ...]
    orders: tuple[Order, ...]
    kits: tuple[Kit, ...]
    crew: Crew
    stock: tuple[Stock, ...] = ()
    weather: tuple[Weather, ...] = ()
    pairs: tuple[Pair, ...] = ()
    frames: tuple[FrameLook, ...] = ()
    settings: Settings = field(default_factory=Settings)

    def yard(self, yard_id: str) -> Yard:
        """Return the yard of that id. Raises KeyError if there is none."""
        for yard in self.yards:
            if yard.id == yard_id:
                return yard
        raise KeyError(yard_id)

    def kit(self, name: str) -> Kit:
        """Return the kit of that name. Raises KeyError if there is none."""
        for kit in self.kits:
            if kit.name == name:
                return kit
        raise KeyError(name)

    def combs(self, frame: str) -> tuple[int, int] | None:
        """Return (drawn combs, sheets of foundation) at home in that format; None when no comb is listed."""
        if not any(s.item in ("drawn comb", "foundation") for s in self.stock):
            return None
        return self._counted("drawn comb", frame), self._counted("foundation", frame)

    def nuc_boxes(self, frame: str) -> int | None:
        """Return how many empty nuc boxes of that format are at home; None when no box is listed."""
        if not any(s.item == "nuc box" for s in self.stock):
            return None
        return self._counted("nuc box", frame)

    def counted(self, item: str, frame: str = "", on: date | None = None) -> int | None:
        """Return how many of an item there are, usable on a day; None when no row lists the item."""
        rows = [s for s in self.stock if s.item == item]
        if not rows:
            return None
        return sum(
            s.count
            for s in rows
            if (not frame or s.frame == frame)
            and (on is None or s.from_day is None or s.from_day <= on)
            and (on is None or s.until_day is None or on <= s.until_day)
        )

    @property
    def broken_up(self) -> frozenset[tuple[str, str]]:
        """Keys of the hives of which nothing stays."""
        return frozenset((o.from_yard, o.hive) for o in self.orders if o.break_up and o.from_yard and o.hive)

    def breaks_up(self, order_id: str) -> bool:
        """Whether the splits of an order are parts of a hive that is broken up."""
        return any(o.id == order_id and o.break_up for o in self.orders)

    @property
    def two_passes_allowed(self) -> bool:
        """Whether combs may be set above an excluder at one visit of a yard and collected at another."""
        there = (self.counted("excluder") or 0) > 0
        return self.settings.excluder.allowed and there and self.settings.limits.visits_per_yard > 1

    def _counted(self, item: str, frame: str) -> int:
        return sum(s.count for s in self.stock if s.item == item and s.frame == frame)
