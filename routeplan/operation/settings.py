"""Every number a beekeeper may set, with its default.

Defaults are common practice unless a line says otherwise; none of them is a published figure.
Names carry units: _m metres, _km kilometres, _min minutes, _c degrees Celsius. Counts are frames.
"""

from dataclasses import dataclass, field, fields

from routeplan.operation.colony_settings import Feed, Floors, Forecast, Strength
from routeplan.operation.own_words import NONE, OwnWords

MILE_M = 1609.344
MINIMUM_DISTANCE_M = 3 * MILE_M


@dataclass(frozen=True)
class KeepBack:
    """What a donor must still have when the crew leaves, in frames (`open` is part of `brood`)."""

    bees: float = 8.0
    brood: float = 5.0
    open: float = 1.0
    food: float = 2.0


PARTED = KeepBack(6.0, 2.0, 1.0, 2.0)
"""What stays behind when the queen leaves, or when a hive is split in its own right (common practice)."""

OBJECTIVES = ("minutes", "money")

SEASONS: dict[str, tuple[KeepBack, int]] = {
    # season: (keep-back, most brood frames from one donor)
    "early spring": (KeepBack(), 1),
    "build-up": (KeepBack(), 2),
    "late season": (KeepBack(10.0, 6.0, 1.0, 4.0), 2),
}


@dataclass(frozen=True)
class Limits:
    """How much one hive gives, how mixed a split may be, and how old a count may be.

    `yards_per_split`: 2 lets a box be begun in one yard and completed in another. Brood that rides without
    bees meanwhile does so for at most `bare_brood_min`, on days whose warmest hour is `bare_brood_from_c`
    or more.
    """

    brood_per_donor: int = 2
    brood_per_strong_donor: int = 3
    strong_from_brood: float = 10.0
    brood_share: float = 1 / 3
    food_per_donor: int = 2
    shakes_per_donor: int = 2
    donors_per_split: int = 3
    visits_per_yard: int = 2
    count_warn_days: int = 10
    count_last_days: int = 14
    eggs_days: int = 4
    cells_days: int = 9
    mites_per_100: float = 3.0
    own_queen_bees: float = 4.0
    yards_per_split: int = 1
    bare_brood_min: float = 15.0
    bare_brood_from_c: float = 20.0


@dataclass(frozen=True)
class Bees:
    """Frames of bees that ride on one frame of each kind, and in one shake; cover brood needs."""

    per_brood_frame: float = 1.0
    per_food_frame: float = 0.5
    per_shake: float = 0.8
    cover_over_brood: float = 1.0


@dataclass(frozen=True)
class Mixed:
    """Real combs are mixed: what else, in frames, leaves along with one brood frame."""

    open_with_capped: float = 0.2
    food_with_brood: float = 0.1


@dataclass(frozen=True)
class WorkMinutes:
    """Minutes a pair needs. Alone x 1.6; more than two people share the work (x 2 / people)."""

    set_up_hives: float = 10.0
    leave_hives: float = 5.0
    set_up_placing: float = 5.0
    leave_placing: float = 0.0
    open_single: float = 4.0
    box_lifted: float = 1.5
    brood_look: float = 1.0
    frame: float = 1.5
    shake: float = 0.5
    make_up: float = 2.0
    load: float = 1.0
    place: float = 3.0
    open_split: float = 1.0
    queen_in: float = 1.0
    alone_factor: float = 1.6
    frame_queen_found: float = 0.8
    shake_queen_found: float = 0.25
    hunt_marked: float = 4.0
    hunt_unmarked: float = 10.0
    hunt_unmarked_double: float = 15.0
    hunt_give_up: float = 15.0
    excluder_first: float = 5.0
    excluder_second: float = 3.0
    fence: float = 45.0


@dataclass(frozen=True)
class Sure:
    """Ways to be sure that the queen is not on what leaves; at each hive the quickest of them is taken.

    `look`: look over each leaving frame. `hunt`: find the queen first and keep her aside. `supers`: shake
    bees from supers above an excluder, where she cannot be.
    """

    look: bool = True
    hunt: bool = True
    supers: bool = True


@dataclass(frozen=True)
class Excluder:
    """A further way to be sure of her, in two passes: combs shaken free of bees go above an excluder, nurse
    bees come up to them without her, and a second visit of the yard on the day collects them.

    `allowed` counts only with excluders in stock. The combs stay above at least `least_wait_min` (an hour or
    two in warmth: from memory); `most_wait_min` is from one visit's work on hives to the other's.
    """

    allowed: bool = True
    least_wait_min: float = 60.0
    most_wait_min: float = 240.0


@dataclass(frozen=True)
class Swaps:
    """What may stand in for a frame that is short; each swap counts `minutes` against the plan.

    `food_comb`: a comb of food from stock. `feeder`: a feeder instead of all food frames of the split.
    `mixed_open`: a mixed frame with eggs instead of an open frame.
    """

    food_comb: bool = False
    feeder: bool = False
    mixed_open: bool = False
    minutes: float = 15.0


@dataclass(frozen=True)
class Later:
    """What the splits' new yards cost in the weeks after, counted beside the day's minutes.

    `trips` looks (with `trips_by_queen` as many as the splits there ask for, by how they get their queens)
    and `feeding_trips` (where no flow feeds them) to each yard that is not looked after anyway, each a drive
    there and back. `few_min` counts for every split under `few_splits` in such a yard, `over_min` for each
    such yard beyond `most_yards`, `robbing_min` in a dearth for each strong hive there.
    """

    trips: int = 3
    feeding_trips: int = 2
    few_splits: int = 4
    few_min: float = 10.0
    most_yards: int = 2
    over_min: float = 20.0
    robbing_min: float = 3.0
    trips_by_queen: bool = False


NO_LATER = Later(0, 0, 0, 0.0, 0, 0.0, 0.0)
"""Nothing but the day itself counts (but for ripe cells, which cost a trip the next day)."""


@dataclass(frozen=True)
class Queens:
    """From a young queen's emergence to her first eggs, and how often a split ends up with a laying queen.

    `eggs_days` 12.9 and `lays_ripe_cell` 0.70 are published (Pérez-Sato and Ratnieks, Apidologie 37, 2006);
    `lays_own_cells` is what is left of that when only mating fails, a third of the losses there.
    `lays_mated` is between the losses of introduced queens in spring and autumn (T. Rhodes and G. Denney
    2003, as retold). `lays_raise_own`, `lays_parents` and `eggs_spread_days` are from memory: no trial was
    found.
    """

    eggs_days: float = 12.9
    eggs_spread_days: float = 3.0
    lays_raise_own: float = 0.65
    lays_ripe_cell: float = 0.70
    lays_mated: float = 0.78
    lays_parents: float = 0.95
    lays_own_cells: float = 0.90


@dataclass(frozen=True)
class Year:
    """The beekeeper's own year: dates YYYY-MM-DD, "" where not known. Without winter nothing is too late."""

    drones_from: str = ""
    drones_until: str = ""
    last_split: str = ""
    first_frost: str = ""
    winter: bool = True


@dataclass(frozen=True)
class Costs:
    """What things cost, in the beekeeper's own money. Sugar is counted by what the forecast says each split
    needs, or so much for every split placed where no flow is."""

    currency: str = ""
    per_km: float = 0.0
    per_hour: float = 0.0
    queen: float = 0.0
    cell: float = 0.0
    comb: float = 0.0
    sugar_kg: float = 0.0
    sugar_per_split_kg: float | None = None


@dataclass(frozen=True)
class Grade:
    """What a beekeeper's own word for a hive's strength stands for, in frames; None: not known from it."""

    bees: float | None = None
    brood: float | None = None
    capped: float | None = None
    open: float | None = None
    food: float | None = None


@dataclass(frozen=True)
class Drive:
    """Estimated road time: access_min + detour * straight line / speed_kmh, per leg."""

    access_min: float = 3.0
    detour: float = 1.3
    speed_kmh: float = 60.0


@dataclass(frozen=True)
class ShutIn:
    """Most minutes a split may be shut in, by the day's warmest hour.

    `screened_min` holds the minutes below 20, below 25, below 30 and below 35 C (wetted); none above.
    Unscreened boxes: a quarter, and none from 27 C. Without a temperature the 20-25 C value is used.
    """

    screened: bool = True
    screened_min: tuple[float, ...] = (360.0, 240.0, 120.0, 45.0)
    warmest_c: float | None = None


@dataclass(frozen=True)
class Settings:
    """All settings of an operation; see data/README.md for each key of settings.toml."""

    title: str = "Splitting day"
    day: str = ""
    zone: str = ""
    units: str = "km"
    temperature: str = "celsius"
    weight: str = "kg"
    minimum_distance_m: float = MINIMUM_DISTANCE_M
    season: str = "build-up"
    frame: str = "deep"
    keep_back: KeepBack = field(default_factory=KeepBack)
    limits: Limits = field(default_factory=Limits)
    bees: Bees = field(default_factory=Bees)
    mixed: Mixed = field(default_factory=Mixed)
    minutes: WorkMinutes = field(default_factory=WorkMinutes)
    drive: Drive = field(default_factory=Drive)
    shut_in: ShutIn = field(default_factory=ShutIn)
    parted: KeepBack = PARTED
    sure: Sure = field(default_factory=Sure)
    excluder: Excluder = field(default_factory=Excluder)
    swaps: Swaps = field(default_factory=Swaps)
    later: Later = field(default_factory=Later)
    costs: Costs = field(default_factory=Costs)
    queens: Queens = field(default_factory=Queens)
    year: Year = field(default_factory=Year)
    strength: Strength = field(default_factory=Strength)
    forecast: Forecast = field(default_factory=Forecast)
    floors: Floors = field(default_factory=Floors)
    feed: Feed = field(default_factory=Feed)
    objective: str = "minutes"
    dearth: bool = False
    stay_put: bool = False
    grades: tuple[tuple[str, Grade], ...] = ()
    date_order: str = ""
    words: OwnWords = NONE


def setting_names(section: object) -> tuple[str, ...]:
    """Return the names of a section's settings, in order."""
    return tuple(f.name for f in fields(section))  # type: ignore[arg-type]
