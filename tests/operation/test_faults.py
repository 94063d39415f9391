"""Each fault of the tables gives exactly its finding, with its place; the sound operation gives none."""

from pathlib import Path

import pytest

from routeplan.operation.check import RULES
from routeplan.operation.findings import errors
from routeplan.operation.pick import pick_tables
from routeplan.operation.read import read_grids, read_operation
from routeplan.operation.tables import open_source
from routeplan.operation.toml_settings import read_settings
from tests.operation.new_words import FAULTS_OF_NEW_WORDS
from tests.operation.sound import SOUND, changed, read_changed, write_operation
from tests.operation.test_cases import RULES_OF_CASES

HIVE = "007,Alder,deep,marked,calm,clear,yes,1,1,2027-05-12,14,5½,3.5,4,yes,\n"
LAST = "1E5,Alder,deep,unknown,bad,ok,no,1,0,2027-05-11,9,3,2,3,,\n"
BIRCH = "Birch,52.1301,-2.7200,6,yes,08:00,17:00,Sun,clear,0417\n"
FRAME_HEAD = "yard,hive,number,capped,open,food,emerging,eggs\n"
MOST_KITS = SOUND["kits.csv"].replace("frame\n", "frame,capped_most,open_most,shakes_most\n", 1)
MOST_KITS = MOST_KITS.replace("deep\n", "deep,,,\n")
A = "A,1,three-frame,raise own,,,2027-05-20,1\n"

Place = tuple[str, str, int | None, str | None]
FAULTS: dict[str, tuple[dict[str, str], list[Place], str]] = {
    # fault: (files changed, every finding as (level, table, row, column), words of the first)
    "yards file missing": ({"yards.csv": ""}, [("error", "yards.csv", None, None)], "is missing"),
    "splits file missing": ({"splits.csv": ""}, [("error", "splits.csv", None, None)], "is missing"),
    "hives file missing": ({"hives.csv": ""}, [("error", "hives.csv", None, None)], "is missing"),
    "misspelt file": ({"pair.csv": "a\n"}, [("warning", "pair.csv", None, None)], "Did you mean pairs.csv?"),
    "no hives": (
        {"hives.csv": SOUND["hives.csv"].split("\n")[0] + "\n"},
        [("error", "hives.csv", None, None)],
        "There is no hive",
    ),
    "unknown column": (
        changed("hives.csv", "temper", "tempr"),
        [("warning", "hives.csv", None, "tempr")],
        "mean temper?",
    ),
    "column twice": (
        changed("yards.csv", "gate", "Yard"),
        [("error", "yards.csv", None, "Yard")],
        "there twice",
    ),
    "required column missing": (
        changed("splits.csv", "order,count", "order,amount"),
        [("error", "splits.csv", None, "count"), ("warning", "splits.csv", None, "amount")],
        "This column is missing",
    ),
    "a year of two figures that stands first": (
        changed("hives.csv", "2027-05-12", "27-05-12"),
        [(level, "hives.csv", row, "inspected") for level in ("error", "warning") for row in (2, 3)],
        "could be 2012-05-27 or, with the year first, 2027-05-12",
    ),
    "blank name": (changed("hives.csv", "NA,", ","), [("error", "hives.csv", 3, "hive")], "is blank"),
    "blank count of splits": (
        changed("splits.csv", "A,1", "A,"),
        [("error", "splits.csv", 2, "count")],
        "is blank",
    ),
    "unreadable number": (
        changed("hives.csv", "5½", "5½½"),
        [("error", "hives.csv", 2, "capped")],
        "not a number",
    ),
    "negative count": (changed("hives.csv", "5½", "-5"), [("error", "hives.csv", 2, "capped")], "below zero"),
    "comma in a comma file": (
        changed("hives.csv", "5½", '"5,500"'),
        [("error", "hives.csv", 2, "capped")],
        "may be thousands or a decimal mark",
    ),
    "row too wide": (
        changed("hives.csv", "yes,\n", "yes,a,b\n"),
        [("error", "hives.csv", 2, None)],
        "more cells",
    ),
    "no splits asked": (
        changed("splits.csv", "A,1", "A,0"),
        [("error", "splits.csv", 2, "count")],
        "less than 1",
    ),
    "unknown word": (
        changed("hives.csv", "unmarked", "green"),
        [("error", "hives.csv", 3, "queen")],
        "drone layer",
    ),
    "unreadable date": (
        changed("hives.csv", "2027-05-11", "last week"),
        [("error", "hives.csv", 4, "inspected")],
        "YYYY-MM-DD",
    ),
    "day and month not told apart": (
        changed("hives.csv", "2027-05-11", "11/5/27"),
        [("error", "hives.csv", 4, "inspected")],
        "could be 2027-05-11 or 2027-11-05",
    ),
    "yard twice": (
        changed("yards.csv", "Cedar,", "Birch,"),
        [("error", "yards.csv", 4, "yard")],
        "already in row 3",
    ),
    "order twice": (
        changed("splits.csv", "B,", "A,"),
        [("error", "splits.csv", 3, "order")],
        "already in row 2",
    ),
    "look-alike yards": (
        changed("yards.csv", "Cedar,", "B1rch,"),
        [("warning", "yards.csv", 4, "yard")],
        "read as two",
    ),
    "look-alike hives": (
        changed("hives.csv", "1E5", "7"),
        [("warning", "hives.csv", 4, "hive")],
        "looks like “007”",
    ),
    "yard twice in other letters": (
        changed("yards.csv", "Cedar,", "BIRCH,"),
        [("error", "yards.csv", 4, "yard")],
        "already in row 3",
    ),
    "yard of a hive in other letters": (
        changed("hives.csv", LAST, LAST.replace("Alder", "alder")),
        [("warning", "hives.csv", 4, "yard")],
        "is read as “Alder”",
    ),
    "unknown yard of a hive": (
        changed("hives.csv", LAST, LAST.replace("Alder", "A1der")),
        [("error", "hives.csv", 4, "yard")],
        "Did you mean “Alder”?",
    ),
    "unknown yard to": (
        changed("splits.csv", "Birch", "Beech"),
        [("error", "splits.csv", 3, "to")],
        "no yard “Beech”",
    ),
    "unknown yard in pairs": (
        changed("pairs.csv", "Birch", "Beech"),
        [("error", "pairs.csv", 2, "other")],
        "“Beech”",
    ),
    "closes before it opens": (
        changed("yards.csv", "17:00", "07:00"),
        [("error", "yards.csv", 3, "closes")],
        "not later",
    ),
    "no crew": ({"crews.csv": ""}, [("warning", "crews", None, None)], "first yard"),
    "two crews": (
        {"crews.csv": SOUND["crews.csv"] + 'Tam,"52.06, -2.72",1,4\n'},
        [("warning", "crews.csv", 3, "crew")],
        "“Wren”",
    ),
    "truck without places": (
        changed("crews.csv", ",16", ","),
        [("warning", "crews.csv", 2, "places")],
        "no limit",
    ),
    "crew without home": (
        changed("crews.csv", '"52.0604, -2.7218"', ""),
        [("error", "crews.csv", 2, "home")],
        "no home",
    ),
    "yard without longitude": (
        changed("yards.csv", BIRCH, BIRCH.replace("-2.7200", "")),
        [("error", "yards.csv", 3, "lon")],
        "no position",
    ),
    "unreadable latitude": (
        changed("yards.csv", BIRCH, BIRCH.replace("52.1301", "52°68'N")),
        [("error", "yards.csv", 3, "lat")],
        "68 minutes",
    ),
    "place too coarse": (
        changed("yards.csv", "52.1301,-2.7200", "52.13,-2.72"),
        [("warning", "yards.csv", 3, "lat")],
        "0.6 km off",
    ),
    "parking far off": (
        {
            "yards.csv": SOUND["yards.csv"]
            .replace("gate\n", "gate,parking\n")
            .replace(",0417", ',0417,"52.1, -2.7"')
        },
        [("warning", "yards.csv", 3, "parking")],
        "km from the hives",
    ),
    "home a degree off": (
        changed("crews.csv", "52.0604, -2.7218", "51.0604, -2.7218"),
        [("warning", "crews.csv", 2, "home")],
        "km from the nearest yard",
    ),
    "home is the middle of a map": (
        changed("crews.csv", '"52.0604, -2.7218"', "https://maps.example/@52.0604%2C-2.7218%2C15z"),
        [("warning", "crews.csv", 2, "home")],
        "middle of a map",
    ),
    "two positions": (
        {
            "yards.csv": "yard,lat,lon,place,room,health\n"
            'Alder,52.0600,-2.72,"52.1300, -2.72",2,ok\nBirch,52.1300,-2.73,,5,ok\n'
        },
        [("error", "yards.csv", 2, "place")],
        "7.8 km apart",
    ),
    "yards on top of each other": (
        changed("yards.csv", "52.1301,-2.7200", "52.0602,-2.6000"),
        [("warning", "yards.csv", 4, "yard")],
        "within 50 m",
    ),
    "room blank": (
        changed("yards.csv", "-2.6000,4", "-2.6000,"),
        [("warning", "yards.csv", None, "room")],
        "Cedar",
    ),
    "forecast without a temperature": (
        changed("weather.csv", "18.5", ""),
        [("error", "weather.csv", 2, "max_c")],
        "blank",
    ),
    "forecast without a column for it": (
        {"weather.csv": "date\n2027-05-15\n"},
        [("error", "weather.csv", None, "max_c")],
        "Add max_c, or max_f",
    ),
    "both temperatures": (
        {"weather.csv": "date,max_c,max_f\n2027-05-15,18.5,65\n"},
        [("error", "weather.csv", 2, "max_f")],
        "Keep one of the two",
    ),
    "too hot to be": (
        {"weather.csv": "date,max_f\n2027-05-15,185\n"},
        [("error", "weather.csv", 2, "max_f")],
        "more than 140",
    ),
    "pair of one": (changed("pairs.csv", "Birch", "Alder"), [("error", "pairs.csv", 2, "other")], "the same"),
    "pair twice": (
        {"pairs.csv": SOUND["pairs.csv"] + "Birch,Alder,5,\n"},
        [("error", "pairs.csv", 3, "other")],
        "already in row 2",
    ),
    "pair that says nothing": (
        changed("pairs.csv", "20", ""),
        [("warning", "pairs.csv", 2, None)],
        "says nothing",
    ),
    "same look twice": (
        {"hives.csv": SOUND["hives.csv"] + HIVE},
        [("warning", "hives.csv", 5, "hive")],
        "the same as row 2",
    ),
    "two looks of a day that differ": (
        {"hives.csv": SOUND["hives.csv"] + HIVE.replace("14", "12")},
        [("error", "hives.csv", 5, "inspected")],
        "other figures",
    ),
    "two looks, one undated": (
        {"hives.csv": SOUND["hives.csv"] + HIVE.replace("2027-05-12", "")},
        [("error", "hives.csv", 5, "inspected")],
        "without a date",
    ),
    "undated counts": (
        changed("hives.csv", "2027-05-12", ""),
        [("warning", "hives.csv", None, "inspected")],
        "2 hives have no day of inspection (rows 2, 3)",
    ),
    "look after the day": (
        changed("hives.csv", "2027-05-11", "2027-05-16"),
        [("error", "hives.csv", 4, "inspected")],
        "after the day planned",
    ),
    "count 11 days old": (
        changed("hives.csv", "2027-05-11", "2027-05-04"),
        [("warning", "hives.csv", 4, "inspected")],
        "11 days old",
    ),
    "cells looked for 10 days ago": (
        changed("hives.csv", "2027-05-11", "2027-05-05"),
        [("warning", "hives.csv", 4, "inspected")],
        "look for queen cells of hive “1E5” of yard “Alder” is 10 days old",
    ),
    "count 15 days old": (
        changed("hives.csv", "2027-05-11", "2027-04-30"),
        [("warning", "hives.csv", 4, "inspected")],
        "nothing is taken",
    ),
    "too many bees": (
        changed("hives.csv", LAST, LAST.replace(",9,", ",90,")),
        [("warning", "hives.csv", 4, "bees")],
        "more than a hive holds",
    ),
    "more brood than bees": (
        changed("hives.csv", LAST, LAST.replace(",9,3,", ",2,11,")),
        [("warning", "hives.csv", 4, "bees")],
        "13 frames of brood under 2 frames of bees",
    ),
    "capped more than all brood": (
        {"hives.csv": "hive,yard,frame,inspected,brood,capped,health\n1,Alder,deep,2027-05-12,5,6,ok\n"},
        [("error", "hives.csv", 2, "capped")],
        "6 is more than all brood, 5",
    ),
    "brood that does not add up": (
        {
            "hives.csv": "hive,yard,frame,inspected,brood,capped,open,health\n"
            "1,Alder,deep,2027-05-12,8,4,3,ok\n"
        },
        [("warning", "hives.csv", 2, "brood")],
        "make 7, not 8",
    ),
    "unknown kit": (
        changed("splits.csv", "four-frame", "fore-frame"),
        [("error", "splits.csv", 3, "kit")],
        "no kit",
    ),
    "kit of nothing": (
        {"kits.csv": SOUND["kits.csv"] + "none,0,0,0,1,1,3,deep\n"},
        [("error", "kits.csv", 3, "kit")],
        "takes no frame",
    ),
    "kit without food": (
        {"kits.csv": SOUND["kits.csv"] + "lean,1,1,0,1,1,2,deep\n"},
        [("warning", "kits.csv", 3, "food")],
        "no food frame",
    ),
    "frame of no hive": (
        {"frames.csv": FRAME_HEAD + "Alder,7,1,9,,,,\n"},
        [("error", "frames.csv", 2, "hive")],
        "no hive “7” at “Alder”",
    ),
    "frame of no yard": (
        {"frames.csv": FRAME_HEAD + "Elder,007,1,9,,,,\n"},
        [("error", "frames.csv", 2, "yard"), ("error", "frames.csv", 2, "hive")],
        "no yard “Elder”",
    ),
    "frame twice": (
        {"frames.csv": FRAME_HEAD + "Alder,007,1,9,,,,\nAlder,007,1,8,,,,\n"},
        [("error", "frames.csv", 3, "number")],
        "already in row 2",
    ),
    "frame covered twice over": (
        {"frames.csv": FRAME_HEAD + "Alder,007,1,12,6,2.5,,\n"},
        [("error", "frames.csv", 2, "capped")],
        "20.5 tenths",
    ),
    "frames that are more than was counted": (
        {"frames.csv": FRAME_HEAD + "".join(f"Alder,007,{n},,,20,,\n" for n in range(1, 7))},
        [("warning", "frames.csv", 2, "food")],
        "hold 6.0 food, it was counted 4",
    ),
    "kit with less at most than it takes": (
        {"kits.csv": MOST_KITS + "few,2,1,1,1,,1,deep,1,,,\n"},
        [("error", "kits.csv", 3, "capped_most")],
        "the kit takes 2",
    ),
    "kit without a place for more": (
        {"kits.csv": MOST_KITS + "more,2,1,1,1,,1,deep,3,2,4\n"},
        [("warning", "kits.csv", 3, "fill")],
        "2 frames may come on top",
    ),
    "kit too large": (
        {"kits.csv": SOUND["kits.csv"] + "big,2,1,1,1,1,1,deep\n"},
        [("warning", "kits.csv", 3, "kit")],
        "fills 6 combs",
    ),
    "kit of a format no hive has": (
        {"kits.csv": SOUND["kits.csv"] + "low,1,1,1,1,1,1,shallow\n"},
        [("warning", "kits.csv", 3, "frame")],
        "shallow",
    ),
    "own queen without open brood": (
        changed("kits.csv", "1,1,1,2", "2,0,1,2"),
        [("error", "splits.csv", 2, "kit")],
        "no open brood",
    ),
    "own queen with too few bees": (
        changed("kits.csv", "1,1,1,2", "1,1,1,1"),
        [("error", "splits.csv", 2, "kit")],
        "3.3 frames of bees; raising a queen takes 4",
    ),
    "mated queen without drawn comb": (
        changed("splits.csv", "four-frame", "five-frame"),
        [("warning", "splits.csv", 3, "kit")],
        "no drawn comb",
    ),
    "asked for by a past day": (
        changed("splits.csv", "2027-05-20", "2027-05-14"),
        [("warning", "splits.csv", 2, "by")],
        "2027-05-14",
    ),
    "from a yard without hives": (
        changed("splits.csv", "Alder,Birch", "Cedar,Birch"),
        [("error", "splits.csv", 3, "from")],
        "no hives",
    ),
    "to a yard that takes none": (
        changed("splits.csv", "Alder,Birch", "Alder,Alder"),
        [("error", "splits.csv", 3, "to")],
        "takes no splits",
    ),
    "no combs of a format": (
        changed("hives.csv", "NA,Alder,deep", "NA,Alder,shallow"),
        [("warning", "stock.csv", None, "frame")],
        "“shallow”",
    ),
    "no forecast": (
        changed("weather.csv", "05-15", "05-14"),
        [("warning", "weather.csv", None, "max_c")],
        "240 min",
    ),
    "setting unknown": (
        {"settings.toml": SOUND["settings.toml"] + "[limits]\nfood_per_doner = 1\n"},
        [("error", "settings.toml", 3, "limits.food_per_doner")],
        "Did you mean limits.food_per_donor?",
    ),
    "setting of the wrong type": (
        {"settings.toml": SOUND["settings.toml"] + '[keep_back]\nbees = "8"\n'},
        [("error", "settings.toml", 3, "keep_back.bees")],
        "not a number",
    ),
    "season unknown": (
        {"settings.toml": SOUND["settings.toml"] + 'season = "spring"\n'},
        [("error", "settings.toml", 2, "season")],
        "early spring",
    ),
} | FAULTS_OF_NEW_WORDS


def test_the_sound_operation_has_no_finding(tmp_path: Path) -> None:
    operation, findings = read_changed(tmp_path, {})
    assert findings == []
    assert operation is not None


@pytest.mark.parametrize("name", FAULTS)
def test_fault(name: str, tmp_path: Path) -> None:
    tables, places, words = FAULTS[name]
    operation, findings = read_changed(tmp_path, tables)
    assert [(f.level, f.table, f.row, f.column) for f in findings] == places
    assert words in findings[0].sentence()
    assert all(f.message.endswith((".", "!")) and f.cure.endswith((".", "?")) for f in findings)
    assert (operation is None) == bool(errors(findings))


def test_every_rule_across_tables_finds_something(tmp_path: Path) -> None:
    """No rule is there that none of the faults above, and none of the cases, would miss."""
    found = set(RULES_OF_CASES)
    for i, (tables, _, _) in enumerate(FAULTS.values()):
        source = open_source(write_operation(tmp_path / str(i), tables))
        settings, _ = read_settings(source.settings)
        grids, _ = pick_tables(source, settings.words)
        draft, _ = read_grids(grids, settings)
        found |= {rule.__name__ for rule in RULES if any(rule(draft))}
    assert {rule.__name__ for rule in RULES} == found


def test_all_faults_of_all_tables_come_together(tmp_path: Path) -> None:
    tables = (
        changed("hives.csv", "5½", "x")
        | changed("splits.csv", "four-frame", "nope")
        | {"yards.csv": "yard\nAlder\n"}
    )
    operation, findings = read_changed(tmp_path, tables)
    assert operation is None
    assert {f.table for f in errors(findings)} == {"hives.csv", "splits.csv", "yards.csv", "pairs.csv"}
    levels = [f.level for f in findings]
    assert levels == sorted(levels), "errors come first"


BAD = Path(__file__).parents[1] / "data" / "bad"


@pytest.mark.parametrize(
    ("folder", "table", "row", "words"),
    [
        ("not_utf8", "hives.csv", None, "neither UTF-8 nor Windows-1252"),
        ("quote_never_closed", "hives.csv", None, "quotation mark"),
        ("settings_broken", "settings.toml", 2, "cannot be read"),
    ],
)
def test_files_that_cannot_be_read(folder: str, table: str, row: int | None, words: str) -> None:
    operation, findings = read_operation(BAD / folder)
    assert operation is None
    assert [(f.table, f.row) for f in errors(findings)] == [(table, row)]
    assert words in errors(findings)[0].sentence()


def test_a_source_that_is_not_there(tmp_path: Path) -> None:
    operation, findings = read_operation(tmp_path / "nowhere")
    assert operation is None
    assert findings[0].sentence().startswith("nowhere: is not there.")
