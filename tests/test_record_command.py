"""The command that folds a finished day back into the tables, on the day at the equator (tests/tiny.py)."""

import csv
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from routeplan import cli
from routeplan.audit import audited
from routeplan.colony.counts import count_on
from routeplan.field import record
from routeplan.field.canonical import plain_csv
from routeplan.operation.findings import errors
from routeplan.operation.read import read_draft, read_operation
from routeplan.operation.world import Operation
from routeplan.plan import from_json, to_json
from tests.audit.sound import whole_hive
from tests.audit.sound_pooled import food_without_bees
from tests.bench.tables import write_tables
from tests.field.test_state import read, row
from tests.files.bring import hives_of, read_hives
from tests.test_replan_command import notes, run
from tests.tiny import DAY, tiny_plan


@pytest.fixture
def bees(tmp_path: Path) -> Path:
    """The tables in a folder of their own, the plan among them."""
    folder = tmp_path / "bees"
    shutil.copytree(Path(__file__).parent / "data" / "tiny", folder)
    (folder / "plans" / "2027-05-15").mkdir(parents=True)
    (folder / "plans" / "2027-05-15" / "plan.json").write_text(to_json(tiny_plan()), encoding="utf-8")
    return folder


def recorded(bees: Path, *rows: str) -> Path:
    before = {p: p.read_bytes() for p in bees.rglob("*") if p.is_file()}
    plan = bees / "plans" / "2027-05-15" / "plan.json"
    result = run("record", bees, plan, notes(bees.parent, *rows))
    assert result.exit_code == 0, result.output
    assert {p: p.read_bytes() for p in bees.rglob("*") if p.is_file()} == before
    return bees.parent / "bees-after-2027-05-15"


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_hive_broken_up_is_no_more(bees: Path) -> None:
    """A1 went into two boxes: its rows go, its stand is free; of the combs those in the boxes are used."""
    operation, plan = whole_hive()
    state, faults = read(row(at="12:20", stop=3, what="left"), operation=operation, plan=plan)
    assert (faults, state is not None) == ([], True)
    draft, _ = read_draft(bees, DAY)
    assert state is not None
    files = record.recorded(draft, state)
    hives = list(csv.DictReader(files["hives.csv"].splitlines()))
    assert not [h for h in hives if (h["yard"], h["hive"]) == ("Acacia", "A1")]
    assert {h["queen"] for h in hives if h["hive"] in ("0515-1", "0515-2")} == {"marked", "unmarked"}
    room = {y["yard"]: y["room"] for y in csv.DictReader(files["yards.csv"].splitlines())}
    assert (room["Acacia"], room["Borehole"]) == ("3", "0")
    stock = {s["item"]: int(s["count"]) for s in csv.DictReader(files["stock.csv"].splitlines())}
    assert stock["drawn comb"] + stock["foundation"] == 15 - 2 - 2 - 5


def test_the_day_as_planned_in_the_tables(bees: Path) -> None:
    """A1 gave 1 capped, 1 open, 1 food and 2 shakes of its 4, 3, 4 and 13: bees 13 - 4.1 (tests/tiny.py)."""
    after = recorded(bees, row(at="12:20", stop=3, what="left"))
    operation, findings = read_operation(after, DAY + timedelta(days=1))
    assert errors(findings) == []
    assert operation is not None
    hives = {h.key: h for h in operation.hives}
    left = count_on(hives["Acacia", "A1"], DAY)
    assert (left.capped, left.open, left.food) == (3.0, 2.0, 3.0)
    assert left.bees == pytest.approx(8.9)
    assert hives["Acacia", "A1"].queen == "marked"
    assert hives["Acacia", "A3"].count.inspected < DAY  # type: ignore[operator]
    split = hives["Cedar", "0515-3"]
    assert (split.may_give, split.queen, split.frame) == (False, "queenless", "deep")
    assert (split.count.capped, split.count.open, split.count.food) == (1.0, 1.0, 1.0)
    assert "from Borehole B1; raises its own queen" in split.note
    assert {k for k in hives if k[1].startswith("0515")} == {
        ("Borehole", "0515-1"),
        ("Borehole", "0515-2"),
        ("Cedar", "0515-3"),
    }
    assert {y.id: y.room for y in operation.yards} == {"Acacia": 2, "Borehole": 0, "Cedar": 3, "Dam": 5}
    assert [(o.id, o.count) for o in operation.orders] == [("later", 1)]
    # three kits of five combs each: 15 of 6 drawn and 9 sheets, three boxes of three
    assert [s.count for s in operation.stock] == [0, 0, 0]


def test_the_log_of_movements_goes_on(bees: Path) -> None:
    (bees / "records").mkdir()
    (bees / "records" / "movements.csv").write_text(
        "date,from,to,count,names\n2027-05-01,Dam,Cedar,1,0501-1\n", encoding="utf-8"
    )
    after = recorded(bees, row(at="12:20", stop=3, what="left"))
    assert table(after / "records" / "movements.csv") == [
        {"date": "2027-05-01", "from": "Dam", "to": "Cedar", "count": "1", "names": "0501-1"},
        {"date": "2027-05-15", "from": "Acacia", "to": "Borehole", "count": "2", "names": "0515-1 0515-2"},
        {"date": "2027-05-15", "from": "Borehole", "to": "Cedar", "count": "1", "names": "0515-3"},
    ]


def test_what_happened_otherwise_is_what_is_recorded(bees: Path) -> None:
    """S3 was not made; A3 was counted; Dam is under suspicion."""
    after = recorded(
        bees,
        row(at="10:10", stop=1, hive="A3", what="found", capped=4, bees=11),
        row(at="11:20", stop=2, box=3, what="could_not", reason="no eggs"),
        row(yard="Dam", what="found", health="suspect"),
    )
    operation, _ = read_operation(after, DAY)
    assert operation is not None
    counts = {h.id: h.count for h in operation.hives}
    assert (counts["A3"].capped, counts["A3"].bees, counts["A3"].inspected) == (4.0, 11.0, DAY)
    assert operation.yard("Dam").health == "suspected"
    assert [(o.id, o.count) for o in operation.orders] == [("eggs", 1), ("later", 1)]
    assert operation.yard("Cedar").room == 4
    plan = from_json((after / "plans" / "2027-05-15" / "plan.json").read_text(encoding="utf-8"))
    assert [s.id for s in plan.splits] == ["S1", "S2"]
    assert run("due", after, "--on", "2027-06-12").exit_code == 0


@pytest.fixture
def of_two(tmp_path: Path) -> Path:
    """The day with a box of two yards: S3 has food of A1 at Acacia, free of bees, and the rest of B1."""
    operation, plan = food_without_bees()
    write_tables(operation, tmp_path / "bees")
    (tmp_path / "bees" / "plans" / "2027-05-15").mkdir(parents=True)
    (tmp_path / "bees" / "plans" / "2027-05-15" / "plan.json").write_text(to_json(plan), encoding="utf-8")
    return tmp_path / "bees"


def test_a_box_of_two_yards_is_a_hive_of_both(of_two: Path) -> None:
    """A1 gave 2 of 5 frames of food, one free of bees: 14 - 4.1 stay; B1 kept its food and 14 - 3.6 bees."""
    after = recorded(of_two, row(at="12:20", stop=3, what="left"))
    operation, findings = read_operation(after, DAY + timedelta(days=1))
    assert errors(findings) == []
    assert operation is not None
    hives = {h.key: h for h in operation.hives}
    left = count_on(hives["Acacia", "A1"], DAY)
    assert left.food == 3.0
    assert left.bees == pytest.approx(9.9)
    assert count_on(hives["Borehole", "B1"], DAY).bees == pytest.approx(10.4)
    split = hives["Cedar", "0515-3"]
    assert split.count.bees == pytest.approx(3.6)
    assert "from Acacia A1 and Borehole B1; raises its own queen" in split.note
    assert [line for line in table(after / "records" / "movements.csv") if "0515-3" in line["names"]] == [
        {"date": "2027-05-15", "from": "Acacia", "to": "Cedar", "count": "1", "names": "0515-3"},
        {"date": "2027-05-15", "from": "Borehole", "to": "Cedar", "count": "1", "names": "0515-3"},
    ]
    plan = from_json((after / "plans" / "2027-05-15" / "plan.json").read_text(encoding="utf-8"))
    assert (plan.splits[2].begun_yard, plan.splits[2].from_yard) == ("Acacia", "Borehole")
    assert audited(operation_of(of_two), plan) == ([], [])


def test_a_box_begun_and_not_completed_is_not_recorded(of_two: Path) -> None:
    plan = of_two / "plans" / "2027-05-15" / "plan.json"
    rows = (row(at="11:20", stop=2, box=3, what="could_not", reason="no eggs"), row(stop=3, what="left"))
    result = run("record", of_two, plan, notes(of_two.parent, *rows))
    assert result.exit_code == cli.DATA_FAULT
    assert "1 boxes are begun and not completed" in result.output
    back = row(stop=1, box=3, what="could_not", reason="brought back")
    after = recorded(of_two, *rows, back)
    operation, _ = read_operation(after, DAY)
    assert operation is not None
    assert [(o.id, o.count) for o in operation.orders] == [("eggs", 1), ("later", 1)]
    assert not any(h.id == "0515-3" for h in operation.hives)


def operation_of(folder: Path) -> Operation:
    operation, _ = read_operation(folder, DAY)
    assert operation is not None
    return operation


def test_no_spreadsheet_runs_what_is_recorded(bees: Path) -> None:
    """Cells that begin like formulas stand behind an apostrophe; numbers stay; all reads back."""
    texts = ['=HYPERLINK("http://a.example")', "+1 613 555 0100", "@SUM(A1)", "'-1+2"]
    path = bees / "yards.csv"
    lines = table(path)
    for line, text in zip(lines, texts, strict=True):
        line["note"] = text
    lines[3]["lat"] = "-0.0001"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(lines[0]))
        writer.writeheader()
        writer.writerows(lines)
    before, _ = read_operation(bees, DAY)
    after = recorded(bees, row(at="12:20", stop=3, what="left"))
    cells = {line["yard"]: line for line in table(after / "yards.csv")}
    assert [line["note"] for line in cells.values()] == [f"'{text.lstrip(chr(39))}" for text in texts]
    assert float(cells["Dam"]["lat"]) == -0.0001
    operation, _ = read_operation(after, DAY)
    assert before
    assert operation
    assert [(y.note, y.place) for y in operation.yards] == [(y.note, y.place) for y in before.yards]
    assert {y.note for y in operation.yards} == {text.lstrip("'") for text in texts}


def test_names_made_inert_are_the_same_names_again(tmp_path: Path) -> None:
    names = ["=1", "'=1", "''-x", "-4", "-33.9, 18.4", "+1-613-555", "'t Veld", "a=1", "-", "@x"]
    head = ["hive", "yard", "bees", "brood"]
    rows = [dict(zip(head, (name, "Creek", "12", "7"), strict=True)) for name in names]
    text = plain_csv(head, rows)
    assert set(hives_of(read_hives(tmp_path, text))) == set(names)
    cells = [line["hive"] for line in csv.DictReader(text.splitlines())]
    assert [cell for cell, name in zip(cells, names, strict=True) if cell == name] == [
        "-4",
        "-33.9, 18.4",
        "'t Veld",
        "a=1",
    ], "all others stand behind an apostrophe"


def test_a_day_that_is_not_finished_is_not_recorded(bees: Path) -> None:
    plan = bees / "plans" / "2027-05-15" / "plan.json"
    result = run("record", bees, plan, notes(bees.parent, row(stop=2, what="could_not", reason="locked")))
    assert result.exit_code == cli.DATA_FAULT
    assert "2 boxes are made and not placed" in result.output
    assert not (bees.parent / "bees-after-2027-05-15").exists()


def test_nothing_is_written_over(bees: Path) -> None:
    recorded(bees, row(at="12:20", stop=3, what="left"))
    plan = bees / "plans" / "2027-05-15" / "plan.json"
    result = run("record", bees, plan, bees.parent / "notes.csv")
    assert result.exit_code == cli.USAGE
    assert "is already there" in result.output
