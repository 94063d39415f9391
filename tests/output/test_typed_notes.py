"""Field notes typed as a table, loaded into the day sheet: the page and the reader of the package understand
the same. The page saves what it loaded; that file and the table are sorted by the plan's stops, and compared.
"""

from dataclasses import astuple
from pathlib import Path
from typing import Any

import pytest

from routeplan.field.log import log_of
from routeplan.field.notes import Notes, read_notes
from routeplan.output.page import day_page
from tests.field.test_notes import BAD_ROWS
from tests.output.browsing import PHONE
from tests.output.crewing import Crew, crew_with
from tests.output.sample import OPERATION, plan_of

PLAN = plan_of()
TABLES = {
    "a day": (
        "at,stop,yard,hive,box,what,capped,open,food,bees,queen,queen_cells,health,to_yard,count,reason,note\n"
        "09:50,1,Alder,,,arrived,,,,,,,,,,,\n"
        "10:00,1,,A1,,found,4½,3,2,12,not seen,2,clear,,,,brace comb\n"
        "10:05,1,,A1,1,frame taken,1,1,,,,,,,,,\n"
        "10:06,1,,A1,1,frame taken,,,1,2,,,,,,,\n"
        ",1,,A1,,put_back,,,,,,,,,3,,\n"
        "10:20,1,,,1,split_made,,,,,,,,,,,\n"
        "10:25,,,,2,split made,,,,,,,,,,,\n"
        "10:26,1,,A3,3,could-not,,,,,,,,,,no bees,\n"
        "10:40,1,,,,left,,,,,,,,,,,\n"
        "11:00,2,,,1,split_placed,,,,,,,,Birch,,,\n"
        "11:01,2,,,,opened,,,,,,,,,,,\n"
        "11:40,,Gorse,,,could_not,,,,,,,,,,gate locked,\n"
        "11:45,,,,,note,,,,,,,,,,,ring the farmer\n"
    ),
    "semicolons and decimal commas": "stop;hive;what;capped;bees\n1;A1;found;4,5;11,5\n1;A2;found;4 1/2;\n",
    "said at the top": "sep=|\nat|stop|what\n9:50|1|arrived\n",
    "times as people write them": (
        "AT,Stop,WHAT,Hive\n9h50,1,arrived,\n1005,1,hive done,A1\n10:20 am,1,hive_done,A3\n0.4375,1,left,\n"
    ),
    "no times at all": "stop,what,box\n1,arrived,\n1,split_made,1\n1,left,\n2,arrived,\n",
    "words in quotation marks": 'what,stop,note\nnote,1,"a ""good"" day, and warm"\nleft,1,\n',
    "health": (
        "stop,hive,what,health\n1,A1,found,OK\n1,A2,found,AFB?\n2,,found,efb confirmed\n"
        "2,B1,found,not stated\n"
    ),
    "last word on a hive": "stop,hive,what,capped,queen\n1,A1,found,4,\n1,A1,found,,gone\n1,A1,found,3,\n",
    "blank lines, a mark at the start": "\ufeff\n\nstop,what\n\n1,arrived\n\n1,left\n",
    "another yard": "yard,hive,what,bees\nMill,M1,found,7\nAlder,,arrived,\n",
}


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("typed") / "day.html"
    path.write_text(day_page(OPERATION, PLAN), encoding="utf-8")
    return path


def loaded(browser: Any, sheet: Path, folder: Path, text: str) -> tuple[Crew, Path]:
    """A sheet that was given a table, and the table."""
    path = folder / "typed.csv"
    path.write_text(text, encoding="utf-8", newline="")
    one = crew_with(browser, sheet, "2026-05-09", **PHONE)
    one.page.locator("#load-notes").set_input_files(path)
    one.page.locator("#kept-said:visible").wait_for()
    return one, path


def understood(path: Path) -> tuple[Any, ...]:
    """What the notes in a file say, stop by stop."""
    notes, findings = read_notes(path)
    assert notes is not None, [f.sentence() for f in findings]
    log, faults = log_of(OPERATION, PLAN, [Notes(notes.entries)])
    assert log is not None, [f.sentence() for f in faults]
    found: dict[tuple[str, str], dict[str, object]] = {}
    for yard, entry in log.looks:  # the last word on a thing holds
        said = {k: v for k, v in vars(entry.found).items() if v not in (None, "")}
        found.setdefault((yard, entry.hive), {}).update(said)
    remarks = sorted((e.what, e.hive, e.box, e.note) for e in log.entries if e.note)
    return [astuple(one) for one in log.stops], found, log.suspect, log.closed, log.last_s, remarks


@pytest.mark.parametrize("name", TABLES)
def test_the_page_and_the_reader_understand_the_same(
    browser: Any, sheet: Path, tmp_path: Path, name: str
) -> None:
    one, table = loaded(browser, sheet, tmp_path, TABLES[name])
    assert one.page.locator("#kept-said").inner_text() == "Field notes loaded: typed.csv."
    assert understood(one.saved(tmp_path)) == understood(table)
    assert one.seen.troubles == []


@pytest.mark.parametrize("text", [text for text, _ in BAD_ROWS])
def test_the_page_refuses_what_the_reader_refuses(
    browser: Any, sheet: Path, tmp_path: Path, text: str
) -> None:
    one, table = loaded(browser, sheet, tmp_path, text)
    assert read_notes(table)[0] is None
    said = one.page.locator("#kept-said").inner_text()
    assert said.startswith("This table cannot be read: ")
    assert one.page.locator("#kept-count").inner_text() == "Nothing is written down yet."


def test_a_row_that_cannot_be_read_is_named(browser: Any, sheet: Path, tmp_path: Path) -> None:
    one, _ = loaded(browser, sheet, tmp_path, "stop,what,hive,capped\n1,found,A1,x\n1,foudn,A1,2\n")
    said = one.page.locator("#kept-said").inner_text()
    assert "row 2: capped: “x” cannot be read." in said
    assert "row 3: what: “foudn” cannot be read." in said
