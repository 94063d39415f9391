"""The day sheet on paper: A4 and Letter, in grey, no stop torn that a page can hold."""

import io
import re
from pathlib import Path
from typing import Any

import pypdf
import pytest

from routeplan.operation.read import read_operation
from routeplan.output.page import day_page
from routeplan.plan import from_json
from tests.output import rich
from tests.output.browsing import DESK, Seen, show
from tests.output.sample import OPERATION, ROUTE, plan_of

TOP = Path(__file__).parents[2]
SIZES = {"A4": (595, 842), "Letter": (612, 792)}
"""Points: ISO 216, and 8.5 by 11 inches."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("paper")
    (made / "day.html").write_text(day_page(OPERATION, plan_of()), encoding="utf-8")
    (made / "rich.html").write_text(day_page(rich.OPERATION, rich.rich_plan()), encoding="utf-8")
    return made


def printed(seen: Seen, paper: str) -> list[str]:
    """The text of every page."""
    read = pypdf.PdfReader(io.BytesIO(seen.page.pdf(format=paper)))
    wide, high = read.pages[0].mediabox[2:]
    assert (abs(float(wide) - SIZES[paper][0]) < 1.5, abs(float(high) - SIZES[paper][1]) < 1.5) == (
        True,
        True,
    )
    return [" ".join(page.extract_text().split()) for page in read.pages]


@pytest.mark.parametrize("paper", SIZES)
def test_no_stop_is_torn_and_every_page_says_the_day(browser: Any, folder: Path, paper: str) -> None:
    pages = printed(show(browser, folder / "day.html", **DESK), paper)
    for n, page in enumerate(pages, 1):
        heads = re.findall(rf"(?:{'|'.join(ROUTE)}) \d\d:\d\d–\d\d:\d\d", page)
        assert len(heads) == page.count("Left at ____: stop done"), page
        assert "Saturday 9 May 2026 · 5 splits · 4 stops" in page
        assert f"{n} / {len(pages)}" in page
    assert sum(page.count("stop done") for page in pages) == len(ROUTE)


@pytest.mark.parametrize("paper", SIZES)
def test_a_stop_longer_than_a_page_says_its_name_on_each(browser: Any, folder: Path, paper: str) -> None:
    """The example's yards with eight hives; no hive and no box is torn."""
    operation, _ = read_operation(TOP / "data" / "example", None)
    assert operation is not None
    plan = from_json((TOP / "maps" / "example" / "plan.json").read_text(encoding="utf-8"))
    (folder / "long.html").write_text(day_page(operation, plan), encoding="utf-8")
    pages = printed(show(browser, folder / "long.html", **DESK), paper)
    yards = "|".join(re.escape(stop.yard) for stop in plan.stops)
    heads = [re.findall(rf"(\d) ({yards}) \d\d:\d\d–\d\d:\d\d", page) for page in pages]
    begun = [n for n, found in enumerate(heads) if found]
    assert all(heads[n] for n in range(begun[0], begun[-1] + 1))
    named = [int(number) for found in heads for number, _ in found]
    assert named == sorted(named)
    assert set(named) == set(range(1, len(plan.stops) + 1))
    assert len(named) > len(plan.stops), "a long stop has more than one page here"


@pytest.mark.parametrize("paper", SIZES)
def test_paper_has_room_for_what_really_happened(browser: Any, folder: Path, paper: str) -> None:
    text = " ".join(printed(show(browser, folder / "day.html", **DESK), paper))
    assert text.count("Arrived ____") == len(ROUTE)
    assert text.count("Found: capped ____") == 6  # hives opened
    assert text.count("If this stop cannot be done:") == len(ROUTE)
    for button in ("Hive done", "Could not", "Save to a file", "Back about"):
        assert button not in text


def test_what_is_done_and_folded_is_printed_in_the_order_of_the_plan(browser: Any, folder: Path) -> None:
    seen = show(browser, folder / "day.html", **DESK)
    seen.page.locator("#stop-1 input.left").click()
    seen.page.locator("#ask").get_by_role("button", name="Leave").click()
    assert not seen.page.locator("#work-1").is_visible()
    text = " ".join(printed(seen, "A4"))
    places = [text.index(f"{yard} 1") if yard != "Alder" else text.index("Alder 09:45") for yard in ROUTE]
    assert places == sorted(places)
    assert "1 capped + 1 open with eggs → box 1" in text


def test_nothing_needs_colour(browser: Any, folder: Path) -> None:
    """Backgrounds are not printed by default: no text is white, no box without a border."""
    page = show(browser, folder / "rich.html", **DESK).page
    page.emulate_media(media="print")
    page.locator("#stop-1 .hive input").first.evaluate("e => { e.checked = true; }")
    light = page.evaluate(
        "[...document.querySelectorAll('main *, main input')].filter(e => e.getClientRects().length)"
        ".flatMap(e => [null, '::before'].map(p => getComputedStyle(e, p).color))"
        ".map(c => c.match(/[\\d.]+/g).map(Number)).filter(([r, g, b]) => r + g + b > 3 * 120).length"
    )
    assert light == 0
