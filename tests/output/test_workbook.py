"""The plan as a workbook, read back."""

from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from routeplan.operation.world import Operation
from routeplan.output.workbook import ALWAYS, write_workbook
from routeplan.plan import Plan
from tests.output.rich import OPERATION as RICH
from tests.output.rich import rich_plan
from tests.output.sample import HOSTILE, OPERATION, hostile, no_plan, plan_of

SHEETS = list(ALWAYS)


def written(folder: Path, operation: Operation, plan: Plan) -> openpyxl.Workbook:
    write_workbook(operation, plan, folder / "plan.xlsx")
    assert [p.name for p in folder.iterdir()] == ["plan.xlsx"]
    return openpyxl.load_workbook(folder / "plan.xlsx")


def rows(book: openpyxl.Workbook, name: str) -> list[dict[str, object]]:
    header, *body = book[name].values
    return [dict(zip(header, row, strict=True)) for row in body]


def test_sheets_and_their_shape(tmp_path: Path) -> None:
    book = written(tmp_path, OPERATION, plan_of())
    assert book.sheetnames == SHEETS
    for sheet in book:
        assert sheet.freeze_panes == "A2"
        assert all(d.width <= 60 for d in sheet.column_dimensions.values())
    assert [len(rows(book, name)) for name in SHEETS[:3]] == [4, 21, 22]


def test_the_workbook_says_what_the_plan_says(tmp_path: Path) -> None:
    plan = plan_of()
    book = written(tmp_path, OPERATION, plan)
    work = rows(book, "Hive work")
    assert sum(r["frames or shakes"] for r in work) == sum(t.frames for s in plan.stops for t in s.takes)
    assert sum(r["combs put back"] or 0 for r in work) == plan.totals.frames_taken
    splits = rows(book, "Splits")
    assert [(r["box"], r["to yard"], r["distance km"], r["at least km"]) for r in splits][:2] == [
        (1, "Birch", 6.53, 4.83),
        (2, "Gorse", 8.16, 4.83),
    ]
    totals = {r["what"]: r["value"] for r in rows(book, "Totals")}
    parts = ("driving", "setting up and leaving yards", "hive work", "closing, labelling, loading")
    spent = sum(totals[p] for p in (*parts, "placing and opening splits", "waiting"))
    assert spent == pytest.approx(totals["paid time"], abs=0.3)
    assert rows(book, "Not in the plan")[0]["stopped by"] == "what a hive must keep"


def test_numbers_stay_numbers(tmp_path: Path) -> None:
    stop = rows(written(tmp_path, OPERATION, plan_of()), "Stops")[0]
    assert (stop["stop"], stop["latitude"], stop["longitude"]) == (1, 52.2, -1.5)


def test_the_new_sheets(tmp_path: Path) -> None:
    plan = rich_plan()
    book = written(tmp_path, RICH, plan)
    assert set(book.sheetnames) - set(ALWAYS) == {"Feed", "What helps", "Other plans", "Money"}
    work = rows(book, "Hive work")
    assert {r["to be sure"] for r in work if r["hive"] == "A2"} == {"find the queen first"}
    assert [r["what"] for r in work if r["hive"] == "A2"][-1] == "queen"
    following = rows(book, "Next hives")
    assert [r["hive"] for r in following if (r["yard"], r["what"]) == ("Alder", "queen")] == [
        *("A8", "A4", "A7", "A1", "A6", "A3")
    ]
    assert [r["hive"] for r in following if (r["yard"], r["what"]) == ("Birch", "shake")] == ["none"]
    gorse = next(r for r in rows(book, "Weeks after") if r["yard"] == "Gorse")
    assert (gorse["trips to look"], gorse["trips to feed"], gorse["robbing min"]) == (3, 2, 6)
    assert rows(book, "Splits")[6]["instead of food frames"] == "feeder"
    quick = rows(book, "Other plans")[0]
    assert (quick["more today min"], quick["more in four weeks min"], quick["proved"]) == (-9, 66, "yes")
    assert quick["to get it"] == 'routeplan plan FOLDER --avoid "Heath"'
    assert len(rows(book, "What helps")) == 4 + 3
    assert plan.cost is not None
    assert {r["what"]: r["money"] for r in rows(book, "Money")}["For each split"] == plan.cost.per_split
    gives = {r["hive"]: r for r in rows(book, "Hives")}
    assert (gives["A2"]["gives queen"], gives["A1"]["gives mixed with eggs"]) == (1, 1)
    assert next(r for r in rows(book, "Stops") if r["yard"] == "Gorse")["fence min"] == 45


def test_what_counts_adds_up_in_the_workbook(tmp_path: Path) -> None:
    found = {r["what"]: r["value"] for r in rows(written(tmp_path, RICH, rich_plan()), "Totals")}
    counted = [(k.removeprefix("counts: "), v) for k, v in found.items() if str(k).startswith("counts: ")]
    signs = {"+": 1, "−": -1, "=": 0}
    assert sum(signs.get(k[0], 1) * v for k, v in counted) == pytest.approx(counted[-1][1], abs=0.3)


FORMULAS = ('=HYPERLINK("x","y")', "+1 613 555 0100", "-1+2", "@SUM(A1)", "\t=1+1", "#N/A", "=1")


def test_cells_that_look_like_formulas_are_text(tmp_path: Path) -> None:
    plan = replace(plan_of(), notes=FORMULAS)
    named = replace(plan, hives=tuple(replace(h, reason=FORMULAS[0]) for h in plan.hives))
    book = written(tmp_path, OPERATION, named)
    cells = {c.value: c for c in book["Totals"]["B"]}
    for text in FORMULAS:
        assert cells[text].data_type == "s"
        assert cells[text].quotePrefix is (text != "#N/A")
    assert not [c for sheet in book for row in sheet.iter_rows() for c in row if c.data_type in ("f", "e")]


def test_hostile_names_are_read_back_as_they_are(tmp_path: Path) -> None:
    book = written(tmp_path, *hostile())
    assert [r["yard"] for r in rows(book, "Stops")] == list(HOSTILE[:4])


def test_characters_a_workbook_cannot_hold_are_marked(tmp_path: Path) -> None:
    book = written(tmp_path, OPERATION, replace(plan_of(), notes=("bell \x07 and \ud800",)))
    assert "bell \ufffd and \ufffd" in [r["value"] for r in rows(book, "Totals")]


def test_no_plan_gives_sheets_with_headers_only(tmp_path: Path) -> None:
    book = written(tmp_path, OPERATION, no_plan())
    assert rows(book, "Stops") == []
    assert book["Stops"]["B1"].value == "yard"


def test_a_failed_write_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="missing"):
        write_workbook(OPERATION, plan_of(), tmp_path / "missing" / "plan.xlsx")
    assert list(tmp_path.iterdir()) == []
