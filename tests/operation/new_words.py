"""A sound operation that uses every word on queens, cells, bears, flows, grades and money, and its faults."""

from tests.operation.sound import SOUND

YARDS = """\
yard,lat,lon,room,takes_splits,health,due,looked_after,flow_from,flow_until,bear,fence
Alder,52.0601,-2.7200,2,no,ok,yes,,,,,
Birch,52.1301,-2.7200,6,yes,ok,,yes,2027-05-10,2027-05-30,yes,no
Cedar,52.0601,-2.6000,4,yes,ok,no,no,,2027-05-12,yes,yes
"""
HIVES = """\
hive,yard,queen,health,supers,excluder,due,grade,inspected,bees,capped,open,food,eggs_seen,queen_cells
007,Alder,marked,ok,1,yes,yes,,2027-05-12,14,5.5,3.5,4,yes,none
NA,Alder,unmarked,ok,0,no,no,,2027-05-12,13,4.5,3,4,yes,charged
1E5,Alder,unknown,ok,0,,,strong,2027-05-12,9,,,,,
"""
SPLITS = """\
order,count,kit,queen,from,hive
A,2,three-frame,own cells,Alder,NA
B,1,four-frame,parent's,,
C,2,three-frame,ripe cell,,
D,1,four-frame,mated,,
"""
STOCK = """\
item,frame,count,from,until
drawn comb,deep,10,,
foundation,deep,20,,
nuc box,deep,8,,
food comb,,2,,
feeder,deep,3,,
mated queen,,2,2027-05-14,2027-05-15
ripe cell,,2,2027-05-16,2027-05-16
ripe cell,,9,,2027-05-15
fence kit,,1,,
"""
SETTINGS = """\
day = "2027-05-15"
frame = "deep"
objective = "money"
dearth = true
stay_put = true
[parted]
bees = 7
[sure]
look = false
[swaps]
food_comb = true
feeder = true
mixed_open = true
minutes = 12
[later]
trips = 4
[costs]
currency = "£"
per_hour = 15
per_km = 0.4
[grades.strong]
bees = 14
brood = 8
food = 3.5
"""
NEW = {
    "yards.csv": YARDS,
    "hives.csv": HIVES,
    "splits.csv": SPLITS,
    "stock.csv": STOCK,
    "settings.toml": SETTINGS,
}


def new(*changes: str) -> dict[str, str]:
    """The tables above with texts changed: table, old text, new text, and so on; each must be there once."""
    tables = dict(NEW)
    for name, old, put in zip(changes[::3], changes[1::3], changes[2::3], strict=True):
        assert tables[name].count(old) == 1, f"{old!r} is not once in {name}"
        tables[name] = tables[name].replace(old, put)
    return tables


Place = tuple[str, str, int | None, str | None]
BEREFT = ("hives.csv", "unmarked", "queenless")
TO_MATED = ("A,2,three-frame,own cells", "A,1,four-frame,mated")
BREAK_UP = "order,count,kit,queen,from,hive,break_up\n"
HERS = "H,1,four-frame,parent's,Alder,NA,yes\n"
OWN_RIGHT = {
    "own cells without a hive": (
        new("splits.csv", "own cells,Alder,NA", "own cells,Alder,"),
        [("error", "splits.csv", 2, "hive"), ("warning", "hives.csv", 3, "queen_cells")],
        "Name that hive",
    ),
    "hive without its yard": (
        new("splits.csv", "own cells,Alder,NA", "ripe cell,,007"),
        [
            ("error", "splits.csv", 2, "from"),
            ("warning", "hives.csv", 3, "queen_cells"),
            ("warning", "stock.csv", 8, "count"),
        ],
        "yard under from",
    ),
    "hive that is not there": (
        new("splits.csv", "Alder,NA", "Alder,AN"),
        [("error", "splits.csv", 2, "hive"), ("warning", "hives.csv", 3, "queen_cells")],
        "no hive “AN” at “Alder”",
    ),
    "hive without its zeros": (
        new("splits.csv", "parent's,,", "parent's,Alder,7"),
        [("error", "splits.csv", 3, "hive")],
        "Did you mean “007”?",
    ),
    "hive split by two rows": (
        new("splits.csv", "parent's,,", "parent's,Alder,NA"),
        [("error", "splits.csv", 3, "hive")],
        "already split in its own right in row 2",
    ),
    "three parts of a hive": (
        new("splits.csv", "A,2", "A,3"),
        [("error", "splits.csv", 2, "count")],
        "Write 1 or 2.",
    ),
    "two parts with one queen": (
        new("splits.csv", "B,1,four-frame,parent's,,", "B,2,four-frame,parent's,Alder,007"),
        [("error", "splits.csv", 3, "count")],
        "one queen to go with it",
    ),
    "kit of other frames than the hive": (
        new("splits.csv", "A,2,three-frame", "A,2,low")
        | {"kits.csv": SOUND["kits.csv"] + "low,1,1,1,2,,2,shallow\n"},
        [("error", "splits.csv", 2, "kit"), ("warning", "kits.csv", 3, "frame")],
        "hive “NA” has “deep”",
    ),
    "own cells where none were seen": (
        new("hives.csv", "charged", "cups"),
        [("error", "splits.csv", 2, "queen")],
        "No charged queen cells",
    ),
    "own cells seen 10 days ago": (
        new("hives.csv", "2027-05-12,13", "2027-05-05,13"),
        [("error", "splits.csv", 2, "queen"), ("warning", "hives.csv", 3, "inspected")],
        "10 days before the day",
    ),
    "own cells with too few bees": (
        NEW | {"kits.csv": SOUND["kits.csv"].replace("1,1,1,2", "1,1,1,1")},
        [("error", "splits.csv", 2, "kit")],
        "3.3 frames of bees; raising a queen takes 4",
    ),
    "own cells without open brood": (
        NEW | {"kits.csv": SOUND["kits.csv"].replace("1,1,1,2", "2,0,1,2")},
        [("error", "splits.csv", 2, "kit")],
        "no open brood",
    ),
    "parting a drone layer": (
        new("hives.csv", "unmarked", "drone layer"),
        [("error", "splits.csv", 2, "hive")],
        "noted as drone layer",
    ),
    "parent's queen of a queenless hive": (
        new(*BEREFT, "splits.csv", "A,2,three-frame,own cells", "A,1,four-frame,parent's"),
        [("error", "splits.csv", 2, "queen")],
        "no queen that could go",
    ),
    "queenless hive with cells parted": (
        new(*BEREFT),
        [("warning", "splits.csv", 2, "hive")],
        "Leave it a good cell",
    ),
    "queenless hive without cells parted": (
        new(*BEREFT, "hives.csv", "charged", "none", "splits.csv", *TO_MATED),
        [("warning", "splits.csv", 2, "hive")],
        "needs a queen or a cell too. Bring one more",
    ),
    "no hive to break up": (
        NEW | {"splits.csv": BREAK_UP + "B,1,four-frame,mated,,,yes\n"},
        [("error", "splits.csv", 2, "hive"), ("warning", "hives.csv", 3, "queen_cells")],
        "which hive is to be broken up",
    ),
    "broken up without a part for its queen": (
        NEW | {"splits.csv": BREAK_UP + "A,2,three-frame,own cells,Alder,NA,yes\n"},
        [("error", "splits.csv", 2, "break_up")],
        "no part has its queen: she would be lost",
    ),
    "broken up with two queens": (
        NEW | {"splits.csv": BREAK_UP + HERS + HERS.replace("H,", "I,")},
        [("error", "splits.csv", 3, "queen")],
        "has one queen, and 2 rows ask for her",
    ),
    "broken up into one": (
        NEW | {"splits.csv": BREAK_UP + HERS},
        [("error", "splits.csv", 2, "count")],
        "into one part: that is the hive itself, moved",
    ),
    "broken up into five by two rows": (
        NEW | {"splits.csv": BREAK_UP + HERS + "A,4,three-frame,own cells,Alder,NA,yes\n"},
        [("error", "splits.csv", 3, "count")],
        "to be broken up into 5; at most 4",
    ),
    "broken up with two priorities": (
        NEW
        | {
            "splits.csv": BREAK_UP.replace("\n", ",priority\n")
            + HERS.replace("\n", ",1\n")
            + "A,2,three-frame,own cells,Alder,NA,yes,2\n"
        },
        [("error", "splits.csv", 3, "priority")],
        "are made together, and their priorities differ",
    ),
    "broken up by one row, split by another": (
        NEW | {"splits.csv": BREAK_UP + HERS + "A,1,three-frame,own cells,Alder,NA,no\n"},
        [("error", "splits.csv", 3, "hive"), ("error", "splits.csv", 2, "count")],
        "already split in its own right",
    ),
    "broken up into five": (
        new(*BEREFT) | {"splits.csv": BREAK_UP + "A,5,three-frame,own cells,Alder,NA,yes\n"},
        [("error", "splits.csv", 2, "count")],
        "Write 1 to 4.",
    ),
    "charged hive that no row names": (
        new("splits.csv", "A,2,three-frame,own cells,Alder,NA\n", ""),
        [("warning", "hives.csv", 3, "queen_cells")],
        "Split it first, in its own right",
    ),
    "parent's queen without drawn comb": (
        new("splits.csv", "B,1,four-frame", "B,1,five-frame"),
        [("warning", "splits.csv", 3, "kit")],
        "a laying queen lays at once",
    ),
}
STOCK_AND_REST = {
    "more mated queens asked for than counted": (
        new("splits.csv", "D,1", "D,3"),
        [("warning", "stock.csv", 7, "count")],
        "Splits that ask for a mated queen: 3; usable on 2027-05-15, when they go in: 2. Bring 1 more",
    ),
    "mated queens usable too late": (
        new("stock.csv", "2027-05-14,2027-05-15", "2027-05-16,2027-05-20"),
        [("warning", "stock.csv", 7, "count")],
        "usable on 2027-05-15, when they go in: 0",
    ),
    "ripe cells usable on the day but not after": (
        new("stock.csv", "2027-05-16,2027-05-16", "2027-05-15,2027-05-15"),
        [("warning", "stock.csv", 8, "count")],
        "ripe cell: 2; usable on 2027-05-16, when they go in: 0",
    ),
    "last day before the first": (
        new("stock.csv", "2027-05-14,2027-05-15", "2027-05-15,2027-05-14"),
        [("warning", "stock.csv", 7, "count"), ("error", "stock.csv", 7, "until")][::-1],
        "is before the first",
    ),
    "date at combs": (
        new("stock.csv", "drawn comb,deep,10,,", "drawn comb,deep,10,,2027-05-14"),
        [("warning", "stock.csv", 2, "until")],
        "counts as drawn comb on any day",
    ),
    "food combs to swap but none listed": (
        new("stock.csv", "food comb,,2,,\n", ""),
        [("warning", "stock.csv", None, "item")],
        "A food comb may stand in",
    ),
    "feeders to swap but none listed": (
        new("stock.csv", "feeder,deep,3,,\n", ""),
        [("warning", "stock.csv", None, "item")],
        "Add a row for feeder",
    ),
    "flow that ends before it begins": (
        new("yards.csv", "2027-05-10,2027-05-30", "2027-05-30,2027-05-10"),
        [("error", "yards.csv", 3, "flow_until")],
        "2027-05-30 until 2027-05-10",
    ),
    "bears and nothing said of a fence": (
        new("yards.csv", "yes,no\n", "yes,\n"),
        [("warning", "yards.csv", 3, "fence")],
        "taken as none",
    ),
    "least money with free hours": (
        new("settings.toml", "per_hour = 15\n", ""),
        [("error", "settings.toml", None, "costs.per_hour")],
        "an hour of the crew costs nothing",
    ),
    "no way to be sure of the queen": (
        new("settings.toml", "look = false", "look = false\nhunt = false"),
        [("warning", "settings.toml", None, "sure.look")],
        "no frame leaves a donor",
    ),
    "workers that die before they fly": (
        new(
            "settings.toml", "look = false", "look = false\n[forecast]\nlife_days = 10\nrecruit_per_day = 0.1"
        ),
        [("error", "settings.toml", None, "forecast.recruit_per_day")],
        "Make forecast.life_days longer",
    ),
    "combs that wait longer than they may": (
        new("settings.toml", "[swaps]", "[excluder]\nleast_wait_min = 90\nmost_wait_min = 80\n[swaps]"),
        [("error", "settings.toml", None, "excluder.most_wait_min")],
        "longer than they may",
    ),
    "grade that is not explained": (
        new("hives.csv", "strong", "very strong"),
        [("error", "hives.csv", 4, "grade")],
        'Add [grades."very strong"] with bees, brood and food to settings.toml, or use one of: strong.',
    ),
    "grade that cannot be": (
        new("settings.toml", "brood = 8", "brood = 8\ncapped = 5\nopen = 4"),
        [("error", "settings.toml", None, "grades.strong.brood")],
        "Capped and open make 9, more than all brood, 8",
    ),
    "grade of unknown frames": (
        new("settings.toml", "food = 3.5", "weight = 30"),
        [("error", "settings.toml", 24, "grades.strong.weight")],
        "Settings here are: grades.strong.bees",
    ),
    "objective unknown": (
        new("settings.toml", '"money"', '"speed"'),
        [("error", "settings.toml", 3, "objective")],
        'Write one of: "minutes", "money".',
    ),
    "way to a queen unknown": (
        new("splits.csv", "mated", "by post"),
        [("error", "splits.csv", 5, "queen")],
        "own cells",
    ),
    "thing in stock unknown": (
        new("stock.csv", "fence kit", "fence"),
        [("error", "stock.csv", 10, "item")],
        "fence kit",
    ),
}
FAULTS_OF_NEW_WORDS: dict[str, tuple[dict[str, str], list[Place], str]] = OWN_RIGHT | STOCK_AND_REST
