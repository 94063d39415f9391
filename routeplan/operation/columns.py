"""The one table of columns: what the beekeeper's tables may hold, and what a blank cell means.

Reading, data/README.md and the empty tables of a new operation all follow it. Defaults are common practice.
"""

from dataclasses import dataclass

from routeplan.operation.world import QUEEN_WAYS, QUEENS_NOT_LAYING, STOCK_ITEMS

Blank = str | float | bool | tuple[int, ...] | None


@dataclass(frozen=True)
class Column:
    """One column of one table.

    Attributes
    ----------
    name : header; capitals, spaces, hyphens and dots make no difference.
    kind : kind of value, a key of values.PARSERS, or "choice" of `options`.
    meaning, unit, example : for people.
    blank : what a blank cell or a missing column means, in words.
    default : the value a blank cell stands for.
    required : the column must be there and every cell filled.
    least, most : limits of a number, in `unit`.
    instead_of : the column this one may be filled instead of, in another unit (see units.COLUMNS).
    """

    name: str
    kind: str
    meaning: str
    unit: str = ""
    example: str = ""
    blank: str = ""
    default: Blank = None
    required: bool = False
    options: tuple[str, ...] = ()
    least: float = 0.0
    most: float = 1e9
    instead_of: str = ""


def _id(name: str, meaning: str, example: str) -> Column:
    return Column(name, "id", meaning, example=example, default="", required=True)


def _frames(name: str, meaning: str, example: str) -> Column:
    return Column(name, "number", meaning, unit="frames", example=example, blank="not known")


def _each(name: str, meaning: str, example: str, most: float = 10) -> Column:
    return Column(name, "whole", meaning, "frames", example, blank="0", default=0, most=most)


def _tenths(name: str, what: str) -> Column:
    return Column(name, "number", f"tenths of its two sides with {what}", "tenths", "14", "0", 0.0, most=20)


def _most(name: str, meaning: str, unit: str, example: str) -> Column:
    return Column(name, "whole", meaning, unit, example, blank="as written", most=10)


HEALTH_WORDS = "clear, suspected, confirmed; any other text stops giving, and is named in a warning"

YARDS = (
    _id("yard", "name of the yard", "Long Meadow"),
    Column(
        "lat", "latitude", "latitude, WGS-84; lat and lon, or place", "degrees north", "52.0613", "see place"
    ),
    Column("lon", "longitude", "longitude, WGS-84", "degrees east", "-2.7154", "see place"),
    Column("place", "place", "latitude and longitude in one cell", "degrees", "52.0613, -2.7154", "see lat"),
    Column("parking", "place", "where the truck stops", "degrees", "52.0608, -2.7160", "at the hives"),
    Column(
        "carry_min", "number", "one way on foot from the truck, per box", "minutes", "1.5", "0", 0.0, most=60
    ),
    Column("room", "whole", "how many more hives it can take", "hives", "6", "no limit"),
    Column(
        "takes_splits", "yes/no", "whether splits may be placed here", example="no", blank="yes", default=True
    ),
    Column("opens", "time", "work may begin here from", "HH:MM", "08:00", "any time"),
    Column("closes", "time", "work must be done here by", "HH:MM", "17:30", "any time"),
    Column("closed_days", "days", "weekdays nobody may come", example="Sun", blank="none", default=()),
    Column("closed_until", "date", "first day it is open again", "YYYY-MM-DD", "2027-06-01", "open"),
    Column(
        "health", "health", HEALTH_WORDS, example="clear", blank="not stated: usable", default="not stated"
    ),
    Column(
        "due",
        "yes/no",
        "its hives are due for inspection on the day anyway",
        example="yes",
        blank="no",
        default=False,
    ),
    Column(
        "looked_after",
        "yes/no",
        "somebody comes by every week anyway: splits here need no trips of their own",
        example="yes",
        blank="no",
        default=False,
    ),
    Column(
        "flow_from", "date", "first day of a flow here", "YYYY-MM-DD", "2027-05-01", "unless dearth is set"
    ),
    Column(
        "flow_until", "date", "last day of a flow here", "YYYY-MM-DD", "2027-06-20", "unless dearth is set"
    ),
    Column("bear", "yes/no", "bears come here", example="yes", blank="no", default=False),
    Column("fence", "yes/no", "an electric fence stands here", example="yes", blank="not known: taken as no"),
    Column("access", "text", "how to get there", example="second track after the chapel", default=""),
    Column("gate", "text", "gate code; only ever on the crew's own sheet", example="0417", default=""),
    Column("note", "text", "anything else", example="ring the farm first", default=""),
)

HIVES = (
    _id("hive", "name of the hive, unique in its yard", "007"),
    _id("yard", "yard it stands in", "Long Meadow"),
    Column("frame", "format", "frame format of its brood boxes", example="deep", blank="the setting `frame`"),
    Column(
        "queen",
        "choice",
        "what is known of the queen",
        example="marked",
        blank="unknown",
        default="unknown",
        options=("marked", "unmarked", "unknown", *QUEENS_NOT_LAYING),
    ),
    Column(
        "temper",
        "choice",
        "how it behaves",
        example="calm",
        blank="normal",
        default="normal",
        options=("calm", "normal", "bad"),
    ),
    Column(
        "health", "health", HEALTH_WORDS, example="clear", blank="not stated: usable", default="not stated"
    ),
    Column("may_give", "yes/no", "no: nothing is ever taken", example="no", blank="yes", default=True),
    Column("queen_mother", "yes/no", "its eggs may raise queens", example="yes", blank="no", default=False),
    Column("boxes", "whole", "brood boxes", "boxes", "2", "1", 1, least=1, most=10),
    Column("supers", "whole", "honey supers", "boxes", "1", "0", 0, most=20),
    Column(
        "excluder",
        "yes/no",
        "a queen excluder lies under its supers",
        example="yes",
        blank="no",
        default=False,
    ),
    Column("due", "yes/no", "due for inspection on the day anyway", example="yes", blank="no", default=False),
    Column(
        "grade",
        "text",
        "your own word for its strength; settings.toml says what it stands for",
        example="A",
        blank="none",
        default="",
    ),
    Column("inspected", "date", "day of these counts", "YYYY-MM-DD", "2027-05-11", "taken as of the day"),
    _frames("bees", "frames covered with bees", "14"),
    _frames("brood", "all brood, where capped and open are not told apart", "8.5"),
    _frames("capped", "sealed brood", "4½"),
    _frames("open", "eggs and young larvae", "3.5"),
    _frames("food", "honey and pollen in the brood boxes", "4"),
    Column("eggs_seen", "yes/no", "eggs seen at that look", example="yes", blank="not known"),
    Column(
        "queen_cells",
        "choice",
        "queen cells seen at that look",
        example="none",
        blank="not stated",
        default="not stated",
        options=("none", "cups", "charged", "not stated"),
    ),
    Column(
        "test_frame",
        "yes/no",
        "a test frame of eggs and young larvae was given at that look",
        example="no",
        blank="no",
        default=False,
    ),
    Column("mites", "number", "mites per 100 bees", "mites per 100 bees", "1.2", "not known", most=100),
    Column(
        "treated_until", "date", "last day of a treatment in the hive", "YYYY-MM-DD", "2027-05-20", "none"
    ),
    Column("note", "text", "anything else", example="second super on", default=""),
)

SPLITS = (
    _id("order", "name of what is asked for", "A"),
    Column("count", "whole", "how many splits", "splits", "4", required=True, least=1, most=1000),
    _id("kit", "what each split receives", "three-frame"),
    Column(
        "queen",
        "choice",
        "how the split gets its queen",
        example="ripe cell",
        blank="raise own",
        default="raise own",
        options=QUEEN_WAYS,
    ),
    Column("from", "id", "yard that must give", example="Long Meadow", blank="any yard"),
    Column("hive", "id", "hive of `from` that is split in its own right", example="007", blank="any hives"),
    Column(
        "break_up",
        "yes/no",
        "whether that hive is broken up: all its frames leave, nothing stays of it",
        example="no",
        blank="no",
        default=False,
    ),
    Column("to", "id", "yard the splits must live in", example="Quarry Top", blank="any yard far enough"),
    Column("by", "date", "last day it is of use", "YYYY-MM-DD", "2027-05-22", "no last day"),
    Column("ready_by", "date", "day it must be ready to sell", "YYYY-MM-DD", "2027-06-26", "no such day"),
    Column("priority", "whole", "lower goes first when not all fit", "", "1", "1", 1, most=99),
)

KITS = (
    _id("kit", "name of the kit", "four-frame"),
    _each("capped", "frames of sealed brood", "2"),
    _each("open", "frames of eggs and young larvae", "1"),
    _each("food", "frames of honey and pollen", "1"),
    Column("shakes", "whole", "bees shaken in, one frame's bees each", "shakes", "2", "0", 0, most=10),
    _each("drawn", "drawn combs from stock", "1"),
    _each("fill", "combs or foundation from stock that fill the box", "1"),
    Column("frame", "format", "frame format it is for", example="deep", blank="any format"),
    _most("capped_most", "as many capped frames where a floor asks for more", "frames", "3"),
    _most("open_most", "as many open frames where a floor asks for more", "frames", "1"),
    _most("shakes_most", "as many shakes where a floor asks for more", "shakes", "4"),
)

CREWS = (
    Column("crew", "id", "name of the crew", example="Anna and Jo", blank="crew", default="crew"),
    Column(
        "home",
        "place",
        "where the truck starts and ends; home, or both columns below",
        "degrees",
        "52.05, -2.71",
    ),
    Column("home_lat", "latitude", "latitude of home, WGS-84", "degrees north", "52.0500", "see home"),
    Column("home_lon", "longitude", "longitude of home, WGS-84", "degrees east", "-2.7100", "see home"),
    Column("people", "whole", "people in the crew", "people", "2", "2", 2, least=1, most=20),
    Column("start", "time", "leaves home not before", "HH:MM", "07:00", "07:00", 7 * 60),
    Column("end", "time", "back home not after", "HH:MM", "19:00", "19:00", 19 * 60),
    Column("hives_from", "time", "hives are opened from", "HH:MM", "10:00", "10:00", 10 * 60),
    Column("hives_until", "time", "hives are closed by", "HH:MM", "17:00", "17:00", 17 * 60),
    Column("places", "whole", "full boxes the truck holds", "boxes", "16", "no limit", least=1),
    Column(
        "empties_per_place",
        "whole",
        "empty boxes stacked on one place",
        "boxes",
        "4",
        "4",
        4,
        least=1,
        most=50,
    ),
)

STOCK = (
    Column(
        "item",
        "choice",
        "what is counted",
        example="drawn comb",
        required=True,
        options=STOCK_ITEMS,
    ),
    Column(
        "frame",
        "format",
        "frame format of combs, food combs and boxes; not used for the others",
        example="deep",
        blank="the setting `frame`",
    ),
    Column("count", "whole", "how many are at home", "pieces", "60", required=True),
    Column("from", "date", "first day a queen or cell can be used", "YYYY-MM-DD", "2027-05-14", "any day"),
    Column("until", "date", "last day a queen or cell can be used", "YYYY-MM-DD", "2027-05-18", "any day"),
)

WEATHER = (
    Column("date", "date", "day of the forecast", "YYYY-MM-DD", "2027-05-15", required=True),
    Column("yard", "id", "yard it is for", example="Long Meadow", blank="everywhere"),
    Column("max_c", "number", "warmest hour", "degrees Celsius", "18.5", "see max_f", least=-40, most=60),
    Column(
        "max_f",
        "number",
        "warmest hour; max_c or max_f",
        "degrees Fahrenheit",
        "",
        "see max_c",
        least=-40,
        most=140,
        instead_of="max_c",
    ),
)

PAIRS = (
    _id("yard", "one yard", "Long Meadow"),
    _id("other", "the other yard", "Quarry Top"),
    Column(
        "flying_km",
        "number",
        "flying distance for the distance rule",
        "kilometres",
        "5.2",
        "measured",
        most=200,
    ),
    Column(
        "flying_mi",
        "number",
        "the same in miles; flying_km or flying_mi",
        "miles",
        "",
        "see flying_km",
        most=125,
        instead_of="flying_km",
    ),
    Column("drive_min", "number", "road time, either way", "minutes", "25", "estimated", most=1440),
)

FRAMES = (
    _id("yard", "yard of the hive", "Long Meadow"),
    _id("hive", "the hive", "A1"),
    Column(
        "number",
        "whole",
        "which frame of the brood box, from one side",
        "",
        "4",
        required=True,
        least=1,
        most=40,
    ),
    _tenths("capped", "sealed brood"),
    _tenths("open", "eggs and young larvae"),
    _tenths("food", "honey and pollen"),
    Column(
        "emerging", "yes/no", "whether bees are emerging from it", example="yes", blank="no", default=False
    ),
    Column(
        "eggs",
        "yes/no",
        "whether its open brood is mostly eggs and tiny larvae",
        example="yes",
        blank="no",
        default=False,
    ),
)

TABLES: dict[str, tuple[Column, ...]] = {
    "yards": YARDS,
    "hives": HIVES,
    "splits": SPLITS,
    "kits": KITS,
    "crews": CREWS,
    "stock": STOCK,
    "weather": WEATHER,
    "pairs": PAIRS,
    "frames": FRAMES,
}
REQUIRED_TABLES = ("yards", "hives", "splits")

COUNTED = (
    "inspected",
    "bees",
    "brood",
    "capped",
    "open",
    "food",
    "eggs_seen",
    "queen_cells",
    "test_frame",
    "grade",
    "due",
)
"""Columns of a hive that belong to one look; a newer look replaces them all, blanks too."""
