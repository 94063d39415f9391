"""The day sheet in a browser with the network off: phone, desk and paper."""

from pathlib import Path
from typing import Any

import pytest

from routeplan.output.page import day_page
from tests.output import rich
from tests.output.browsing import DESK, PHONE, show
from tests.output.sample import BOXES, HIVES, HOSTILE, OPERATION, ROUTE, YARDS, hostile, no_plan, plan_of

SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("pages")
    (made / "day.html").write_text(day_page(OPERATION, plan_of()), encoding="utf-8")
    (made / "hostile.html").write_text(day_page(*hostile()), encoding="utf-8")
    (made / "rich.html").write_text(day_page(rich.OPERATION, rich.rich_plan()), encoding="utf-8")
    evil = hostile(rich.OPERATION, rich.rich_plan(), HOSTILE[:5])
    (made / "rich_hostile.html").write_text(day_page(*evil), encoding="utf-8")
    (made / "shared.html").write_text(day_page(OPERATION, plan_of(), shared=True), encoding="utf-8")
    (made / "empty.html").write_text(day_page(OPERATION, no_plan()), encoding="utf-8")
    return made


@pytest.mark.parametrize("name", ["day", "hostile", "rich", "rich_hostile", "shared", "empty"])
@pytest.mark.parametrize("kind", [PHONE, DESK], ids=["phone", "desk"])
def test_no_error_no_dialog_no_question_outside(
    browser: Any, folder: Path, name: str, kind: dict[str, Any]
) -> None:
    seen = show(browser, folder / f"{name}.html", **kind)
    for sign in seen.page.locator(".leaflet-marker-pane svg.sign").all():
        sign.dispatch_event("click")
    seen.page.wait_for_timeout(200)
    assert seen.troubles == []
    assert seen.asked == []


def test_every_mark_is_on_the_map(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **DESK).page
    signs = page.locator(".leaflet-marker-pane svg.sign")
    assert signs.count() == len(YARDS) + 2  # home and one parking place besides the yards
    figures = page.locator(".leaflet-marker-pane svg.sign text").all_text_contents()
    assert sorted(figures) == ["!", "1", "2", "3", "4", "P"]
    assert page.locator("path.drive.leaflet-interactive").count() == 1
    assert page.locator("path.ring.leaflet-interactive").count() == 2
    assert page.locator("path.flight.leaflet-interactive").count() == 3
    assert page.locator(".leaflet-tooltip.name").all_inner_texts() == [*ROUTE, "Home"]


STOPS = ".leaflet-marker-pane svg.sign:is(.takes, .receives, .both, .home)"
LABELS = "[...document.querySelectorAll('.leaflet-tooltip')].filter(e => e.style.visibility != 'hidden')"
SIGNS = "[...document.querySelectorAll('.leaflet-marker-pane svg.sign')]"


def overlapping(a: dict[str, float], b: dict[str, float]) -> bool:
    wide = min(a["right"], b["right"]) - max(a["left"], b["left"])
    high = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
    return wide > 2.5 and high > 2.5


@pytest.mark.parametrize("name", ["day", "hostile"])
@pytest.mark.parametrize("kind", [PHONE, DESK], ids=["phone", "desk"])
def test_labels_cover_no_sign_and_no_label(
    browser: Any, folder: Path, name: str, kind: dict[str, Any]
) -> None:
    page = show(browser, folder / f"{name}.html", **kind).page
    page.locator(".leaflet-control-zoom-in").dispatch_event("click")
    page.wait_for_timeout(500)
    boxes = "(found) => found.map(e => e.getBoundingClientRect().toJSON())"
    labels = page.evaluate(f"({boxes})({LABELS})")
    signs = page.evaluate(f"({boxes})({SIGNS})")
    assert len(labels) >= 2
    for n, label in enumerate(labels):
        assert not [other for other in labels[n + 1 :] + signs if overlapping(label, other)]


def test_stops_of_the_map_lie_inside_it(browser: Any, folder: Path) -> None:
    for kind in (PHONE, DESK):
        page = show(browser, folder / "day.html", **kind).page
        field_box = page.locator("#map_day").bounding_box()
        assert page.locator(STOPS).count() == len(ROUTE) + 1
        for sign in page.locator(STOPS).all():
            box = sign.bounding_box()
            assert field_box["x"] <= box["x"] <= field_box["x"] + field_box["width"] - box["width"]
            assert field_box["y"] <= box["y"] <= field_box["y"] + field_box["height"] - box["height"]


def test_a_touched_yard_says_what_is_done_there(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **DESK).page
    page.locator(".leaflet-marker-pane svg.both").dispatch_event("click")
    said = page.locator(".leaflet-popup-content").inner_text().split("\n")
    assert said[:2] == ["Birch", "Take here and place splits"]
    assert "make boxes 4–5" in said
    assert "place box 1" in said


def test_hostile_names_are_shown_as_they_are(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "hostile.html", **DESK).page
    assert page.locator(".leaflet-tooltip.name").all_inner_texts() == [*HOSTILE[:4], "Home"]
    said = []
    for sign in page.locator(".leaflet-marker-pane svg.sign").all():
        sign.dispatch_event("click")
        said.append(page.locator(".leaflet-popup-content strong").last.inner_text())
    assert set(HOSTILE) <= set(said)
    body = page.locator("body").inner_text()
    for name in HOSTILE:
        assert name in body
    assert page.locator("img, b:text-is('x')").count() == 0


def test_the_phone_page_does_not_slide_sideways(browser: Any, folder: Path) -> None:
    for name in ("day", "hostile", "rich", "rich_hostile"):
        assert show(browser, folder / f"{name}.html", **PHONE).page.evaluate(SIDEWAYS) == 0


def test_on_a_desk_the_map_stays_at_the_left(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **DESK).page
    page.evaluate("window.scrollTo(0, 3000)")
    box = page.locator("#map").bounding_box()
    assert (box["x"], box["y"]) == (0, 0)
    assert box["width"] <= 640
    assert page.evaluate(SIDEWAYS) == 0


def test_the_next_stop_is_the_first_not_ticked(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **PHONE).page

    def upcoming() -> str:
        return str(page.locator("#next a:visible strong").inner_text())

    assert upcoming() == "Alder"
    for yard in (*ROUTE[1:], "Home"):
        page.locator(".card:not(.gone) input.left:visible").first.click()
        page.locator("#ask").get_by_role("button", name="Leave").click()
        assert upcoming() == yard
    page.locator("#stop-1 .fold").click()
    page.locator("#stop-1 input.left").uncheck()
    assert upcoming() == "Alder"


def test_in_a_folder_with_accents_blanks_and_signs(browser: Any, folder: Path, tmp_path: Path) -> None:
    """All links stay in the page, which opens by its encoded address (RFC 3986)."""
    there = tmp_path / "Bee yards #2" / "été 50%"
    there.mkdir(parents=True)
    (there / "day.html").write_bytes((folder / "day.html").read_bytes())
    seen = show(browser, there / "day.html", **PHONE)
    links = seen.page.eval_on_selector_all("[href]", "all => all.map(a => a.getAttribute('href'))")
    assert links
    assert all(link.startswith("#") for link in links)
    seen.page.locator("#next a:visible").first.click()
    assert seen.page.url == (there / "day.html").as_uri() + "#stop-1"
    assert (seen.troubles, seen.asked) == ([], [])


def test_the_next_stop_stays_in_reach(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **PHONE).page
    page.evaluate("window.scrollTo(0, 6000)")
    assert page.locator("#next").bounding_box()["y"] == 0


def test_without_script_the_drawing_stands_in(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", java_script_enabled=False, **PHONE).page
    assert page.locator(".sketch svg").is_visible()
    assert not page.locator("#map_day").is_visible()
    assert page.locator(".sketch text.name").all_text_contents()[: len(ROUTE)] == list(ROUTE)
    assert page.locator("article.card").count() == len(ROUTE) + 1


def test_on_paper(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **DESK).page
    page.emulate_media(media="print")
    assert page.locator(".sketch svg").is_visible()
    assert not page.locator("#map_day").is_visible()
    assert not page.locator("#next").is_visible()
    assert page.evaluate("getComputedStyle(document.querySelector('.card')).breakInside") == "avoid"
    borders = page.evaluate(
        "[...document.querySelectorAll('main input[type=checkbox]')]"
        ".map(i => getComputedStyle(i).borderTopStyle)"
    )
    assert set(borders) == {"solid"}
    visited = page.locator("#why tbody tr:visible th").all_inner_texts()
    assert visited == [h.id for h in HIVES if h.yard in ROUTE]
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).startswith(b"%PDF")


def test_one_tick_box_a_frame_and_one_a_hive_for_shakes(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "day.html", **PHONE).page
    frames = sum(n for box in BOXES for _, kind, n in box.takes if kind != "shake")
    shaken = len({(h, box.id) for box in BOXES for h, kind, _ in box.takes if kind == "shake"})
    assert page.locator(".out input").count() == frames + shaken


def test_one_tally_box_for_each_that_is_taken(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "rich.html", **PHONE).page
    taken = sum(n for box in rich.BOXES for _, _, n in box.takes)
    assert page.locator(".tally i").count() == taken
    assert page.locator(".taken").count() == page.locator(".out").count()


def test_no_amount_is_torn_apart(browser: Any, folder: Path) -> None:
    """A number and its unit stand on one line, on a phone too."""
    page = show(browser, folder / "rich.html", **PHONE).page
    lines = page.evaluate(
        "[...document.querySelectorAll('.sums td')].map(e => {const r = document.createRange(); "
        "r.selectNodeContents(e); return r.getClientRects().length})"
    )
    assert len(lines) > 20
    assert set(lines) == {1}


def test_new_parts_are_not_torn_on_paper(browser: Any, folder: Path) -> None:
    page = show(browser, folder / "rich.html", **DESK).page
    page.emulate_media(media="print")
    for part in (".later tr", "#others .split", ".next", ".rule", ".need li"):
        found = page.evaluate(
            f"[...document.querySelectorAll('{part}')].map(e => getComputedStyle(e).breakInside)"
        )
        assert set(found) == {"avoid"}, part
    assert page.pdf(format="A4").startswith(b"%PDF")
