"""What people see of a box of two yards: S3 of the day worked out by hand, begun at Acacia."""

from pathlib import Path

import openpyxl

from routeplan.output.cards import cards
from routeplan.output.day import Day, day_of
from routeplan.output.load import load
from routeplan.output.marks import drawing
from routeplan.output.page import day_page
from routeplan.output.results import split_lines
from routeplan.output.workbook import write_workbook
from tests.audit.sound_pooled import brood_first, food_first, food_without_bees
from tests.tiny import tiny_operation, tiny_plan


def plain(text: str) -> str:
    """The same text with plain blanks between numbers and their units."""
    return text.replace("\u00a0", " ")


def with_bees() -> Day:
    return day_of(*food_first())


def test_card_where_it_is_begun() -> None:
    card = cards(with_bees())[0]
    (begun,) = card.begun
    assert begun.name == "3"
    assert begun.text == "begun: 1 food from hive A1 – to be completed at Borehole, stop 2"
    assert begun.label.startswith("Box 3 · ")
    assert "from Acacia, hive A1 · from Borehole, hive B1" in begun.label
    assert "begin box 3" in card.job
    assert card.begun_steps
    assert card.aboard.startswith("3 full boxes")


def test_card_where_it_is_completed() -> None:
    card = cards(with_bees())[1]
    (made,) = card.made
    assert made.contents.startswith("begun at Acacia: 1 food from hive A1; ")
    assert made.contents.endswith("1 capped, 1 open with eggs, 2 shakes from hive B1")
    assert made.stays == "2 combs from home stay in it"
    assert "complete box 3" in card.job
    assert "make box" not in card.job


def test_card_where_it_is_placed() -> None:
    (placed,) = cards(with_bees())[2].placed
    assert plain(placed.source) == (
        "from Acacia, 12.24 km away (at least 4.83 km) and from Borehole, 5.57 km away (at least 4.83 km)"
    )
    (bare,) = cards(day_of(*food_without_bees()))[2].placed
    assert plain(bare.source).startswith("from Acacia, frames without bees and from Borehole, 5.57 km away")


def test_frames_without_bees_are_said_so() -> None:
    card = cards(day_of(*brood_first()))[0]
    hive = next(h for h in card.hives if h.name == "A3")
    assert [out.kinds for out in hive.outs] == ["1 capped, without bees"]
    assert any("brushed back" in step for step in card.hive_steps)
    assert any("Borehole within 32 min" in plain(step) and "box 3" in step for step in card.begun_steps)


def test_list_of_splits() -> None:
    line = split_lines(with_bees())[2]
    assert line.donors == "hive A1 at Acacia; hive B1 at Borehole"
    assert plain(line.flying) == "12.24 km from Acacia and 5.57 km from Borehole, at least 4.83 km"
    bare = split_lines(day_of(*food_without_bees()))[2]
    assert plain(bare.flying) == "5.57 km from Borehole, at least 4.83 km"


def test_load_list() -> None:
    items = {item.what: item.remark for part in load(day_of(*food_without_bees())) for item in part.items}
    assert "box 3" in items["Soft brush for bees"]
    assert "box 3" in items["Cover cloth for a begun box"]
    usual = {i.what for part in load(day_of(tiny_operation(), tiny_plan())) for i in part.items}
    assert not usual & {"Soft brush for bees", "Cover cloth for a begun box"}


def test_map_shows_both_parents() -> None:
    flights = [flight.lines[1] for flight in drawing(with_bees()).flights]
    assert flights == ["Acacia to Borehole", "Acacia to Cedar", "Borehole to Cedar"]


def test_page_and_workbook(tmp_path: Path) -> None:
    operation, plan = food_without_bees()
    assert "Begun here, completed at another yard" in day_page(operation, plan)
    write_workbook(operation, plan, tmp_path / "plan.xlsx")
    book = openpyxl.load_workbook(tmp_path / "plan.xlsx")
    header, *body = book["Splits"].values
    row = dict(zip(header, body[2], strict=True))
    assert (row["begun in yard"], row["hives there"], row["begun at stop"]) == ("Acacia", "A1", 1)
    header, *body = book["Hive work"].values
    bees = [dict(zip(header, line, strict=True))["bees"] for line in body]
    assert bees.count("without") == 1
    assert set(bees) == {"with", "without"}
