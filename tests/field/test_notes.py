"""Field notes: read strictly from JSON and CSV, every fault with its place."""

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from routeplan.field.entries import COLUMNS, SAYINGS, Entry, Found
from routeplan.field.notes import Notes, parse_notes_csv, parse_notes_json, read_notes
from routeplan.plan import box_numbers
from tests.operation.pages import COLUMN_HEAD, column_line
from tests.tiny import tiny_plan

PAGE = (Path(__file__).parents[2] / "data" / "README.md").read_text(encoding="utf-8")
SECTION = PAGE.split("\n## Field notes\n")[1].split("\n## ")[0]


def as_json(*entries: dict[str, object], **more: object) -> str:
    return json.dumps({"notes": 1, "day": "2027-05-15", "entries": entries, **more})


def faults_of(text: str) -> list[str]:
    notes, findings = (parse_notes_json if text.startswith("{") else parse_notes_csv)(text)
    assert notes is None
    return [f.sentence() for f in findings]


# --- what is read -------------------------------------------------------------------------------------------


def test_the_page_shows_notes_that_are_read() -> None:
    (example,) = re.findall(r"```json\n(.*?)```", SECTION, re.S)
    notes, findings = parse_notes_json(example, "n")
    assert findings == []
    assert notes == Notes(
        (
            Entry("arrived", 605, 1, "Long Meadow", place="n, entry 1"),
            Entry("found", 620, 1, hive="007", found=Found(2.0, 1.5, queen="not_seen"), place="n, entry 2"),
            Entry("frame_taken", 630, 1, hive="008", box=3, found=Found(1.0, bees=2.0), place="n, entry 3"),
            Entry("split_made", 640, 1, box=3, place="n, entry 4"),
            Entry("left", 650, 1, place="n, entry 5"),
            Entry("could_not", 675, 2, reason="gate locked", place="n, entry 6"),
        ),
        "0123456789abcdef",
        date(2027, 5, 15),
    )


def test_the_page_lists_every_column_and_word() -> None:
    lines = SECTION.splitlines()
    start = lines.index(COLUMN_HEAD) + 2
    assert lines[start : start + len(COLUMNS)] == [column_line(c) for c in COLUMNS]
    words = [re.split(r" *\| *", line)[1:6] for line in lines if line.startswith("| ")]
    told = {row[0]: row for row in words if row[0] in SAYINGS and len(row) == 5}
    assert {k: (r[1], r[2], r[4]) for k, r in told.items()} == {
        k: (", ".join(s.needs), ", ".join(s.may), s.meaning) for k, s in SAYINGS.items()
    }
    assert {k: r[3] for k, r in told.items() if r[3] != "object"} == {
        k: s.value for k, s in SAYINGS.items() if k not in ("found", "frame_taken")
    }


def test_a_table_says_the_same_as_json() -> None:
    table = (
        "at,stop,yard,hive,box,what,capped,open,food,bees,queen,queen_cells,health,to_yard,count,reason,note\n"
        "10:05,1,Birch,,,arrived,,,,,,,,,,,\n"
        "10:20,1,,B4,,found,4½,3,2,12,not seen,2,suspect,,,,brace comb\n"
        "10:30,1,,B4,3,frame taken,1,,,2,,,,,,,\n"
        "10:41,1,,B4,,put_back,,,,,,,,,3,,\n"
        "11:30,2,,,3,split_placed,,,,,,,,Cedar,,,\n"
        "11:31,2,,,,could_not,,,,,,,,,,gate locked,\n"
        "11:40,,,,,note,,,,,,,,,,,ring the farmer\n"
    )
    found = {"capped": 4.5, "open": 3, "food": 2, "bees": 12, "queen": "not_seen", "queen_cells": 2}
    same = as_json(
        {"at": "10:05", "stop": 1, "yard": "Birch", "what": "arrived"},
        {
            "at": "10:20",
            "stop": 1,
            "hive": "B4",
            "what": "found",
            "value": found | {"health": "suspect"},
            "note": "brace comb",
        },
        {
            "at": "10:30",
            "stop": 1,
            "hive": "B4",
            "box": 3,
            "what": "frame_taken",
            "value": {"capped": 1, "bees": 2},
        },
        {"at": "10:41", "stop": 1, "hive": "B4", "what": "put_back", "value": 3},
        {"at": "11:30", "stop": 2, "box": 3, "what": "split_placed", "value": "Cedar"},
        {"at": "11:31", "stop": 2, "what": "could_not", "value": "gate locked"},
        {"at": "11:40", "what": "note", "value": "ring the farmer"},
    )
    of_table, none = parse_notes_csv(table, "n")
    of_json, _ = parse_notes_json(same, "n")
    assert none == []
    assert of_table is not None
    assert of_json is not None
    bare = [[repr(e).split(", place=")[0] for e in n.entries] for n in (of_table, of_json)]
    assert bare[0] == bare[1]
    assert of_table.entries[1].place == "n, row 3"


def test_names_stay_as_written_and_semicolons_bring_decimal_commas() -> None:
    notes, _ = parse_notes_csv("stop;hive;what;capped\n1;007;found;4,5\n")
    assert notes is not None
    assert (notes.entries[0].hive, notes.entries[0].found.capped) == ("007", 4.5)


def test_a_file_is_read_by_its_ending(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("stop,what\n1,arrived\n", encoding="utf-8")
    (tmp_path / "a.json").write_text(as_json({"stop": 1, "what": "arrived"}), encoding="utf-8")
    (tmp_path / "b.json").write_bytes(b"\xff\xfe")
    for name in ("a.csv", "a.json"):
        notes, findings = read_notes(tmp_path / name)
        assert (findings, [e.what for e in notes.entries] if notes else None) == ([], ["arrived"])
    assert "is not UTF-8" in read_notes(tmp_path / "b.json")[1][0].sentence()


# --- faults -------------------------------------------------------------------------------------------------

BAD_ROWS = (
    ("stop,what\n1,arived\n", "row 2: what: “arived” is not one of the words used here."),
    ("stop,what\n1,\n", None),
    ("stop,wat\n1,arrived\n", "“wat” is not known here. Did you mean what?"),
    ("stop,what,what\n1,left,left\n", "The column what is there twice."),
    ("stop,hive\n1,A\n", "The column what is missing."),
    ("what\nleft\n", "row 2: left does not say where."),
    ("what,hive\nhive_done,A\n", "row 2: hive_done does not say where."),
    ("stop,what\n1,hive_done\n", "row 2: hive_done needs hive."),
    ("stop,what\n1,split_made\n", "row 2: split_made needs box."),
    ("stop,what,hive\n1,found,A\n", "row 2: found says nothing of what was found."),
    ("stop,what,capped\n1,found,3\n", "row 2: found needs hive."),
    ("stop,what,hive,box\n1,frame_taken,A,1\n", "row 2: frame_taken says no frames."),
    ("stop,what,hive,box,capped\n1,frame_taken,A,1,1.5\n", "row 2: 1.5 frames cannot be taken."),
    ("stop,what,hive,capped\n1,found,A,-1\n", "row 2: capped: “-1” is below zero."),
    ("stop,what,hive,health\n1,found,A,sunken\n", "row 2: health: “sunken” is not understood."),
    ("stop,what,hive,queen\n1,found,A,lost\n", "row 2: queen: “lost” is not one of the words used here."),
    ("stop,what,capped\n1,arrived,2\n", "row 2: capped does not go with arrived."),
    ("stop,what,at\n1,arrived,25:00\n", "row 2: at: “25:00” is not a time of day written HH:MM."),
    ("stop,what,box\n1,split_made,2.5\n", "row 2: box: “2.5” is not a whole number."),
    ("what\nnote\n", "row 2: A note without words."),
    ('stop,what,note\n1,note,"a\n', "cannot be read as CSV"),
    ("stop,what\n1,note,a,b\n", "row 2: This row has more cells than the header."),
)


@pytest.mark.parametrize(("text", "said"), BAD_ROWS)
def test_a_bad_row_is_named(text: str, said: str | None) -> None:
    found = faults_of(text)
    assert len(found) >= 1
    assert any((said or "The column what is blank.") in line for line in found), found


BAD_JSON = (
    ("[]", "are not field notes of layout 1"),
    ('{"notes": 2, "entries": []}', "are not field notes of layout 1"),
    ('{"notes": true, "entries": []}', "are not field notes of layout 1"),
    ('{"notes": 1', "is not JSON"),
    ('{"notes": 1}', "The key entries is not a list."),
    ('{"notes": 1, "entries": ["left"]}', "entry 1: is not an object."),
    ('{"notes": 1, "entries": [], "dya": "x"}', "Did you mean day?"),
    ('{"notes": 1, "entries": [], "day": "15.5."}', "“15.5.” is not a day."),
    ('{"notes": 1, "entries": [], "plan": 7}', "The key plan is not text."),
    (
        as_json({"stop": 1, "what": "left", "hiev": "A"}),
        "entry 1: “hiev” is not known here. Did you mean hive?",
    ),
    (as_json({"stop": 1, "what": "left", "value": "x"}), "entry 1: “x” is a value too many here."),
    (as_json({"stop": True, "what": "left"}), "entry 1: The key stop holds neither text nor a number."),
    (
        as_json({"stop": 1, "hive": "A", "what": "found", "value": {"caped": 2}}),
        "entry 1: “caped” is not known here. Did you mean capped?",
    ),
)


@pytest.mark.parametrize(("text", "said"), BAD_JSON)
def test_bad_json_is_named(text: str, said: str) -> None:
    notes, findings = parse_notes_json(text)
    assert notes is None
    assert any(said in f.sentence() for f in findings), [f.sentence() for f in findings]


def test_all_faults_are_listed_together() -> None:
    found = faults_of("stop,what,hive,capped\n1,foudn,A,2\n0,found,A,2\n1,found,A,x\n")
    assert [line.split(":")[0] for line in found] == [f"notes.csv, row {n}" for n in (2, 3, 4)]


# --- which plan, which box ----------------------------------------------------------------------------------


def test_a_plan_has_one_id_and_another_plan_another() -> None:
    plan = tiny_plan()
    assert plan.id == tiny_plan().id
    assert re.fullmatch("[0-9a-f]{16}", plan.id)
    changed = replace(plan, title="another")
    assert changed.id != plan.id


def test_boxes_are_numbered_by_their_names() -> None:
    plan = tiny_plan()
    assert box_numbers(plan) == {"S1": 1, "S2": 2, "S3": 3}
    without = plan.__class__(**{**vars(plan), "splits": plan.splits[1:]})
    assert box_numbers(without) == {"S2": 2, "S3": 3}
