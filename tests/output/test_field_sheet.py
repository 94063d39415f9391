"""The day sheet as a tool: a whole day ticked off with surprises, kept over a reload, saved and read again.

The network is off. Field notes are read by the reader of the package, which knows nothing of the page.
"""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from routeplan.field.log import log_of
from routeplan.field.notes import Notes, read_notes
from routeplan.field.state import State, state_of
from routeplan.output.page import day_page
from routeplan.plan import SetAbove
from tests.audit.sound_pooled import food_first
from tests.output import rich
from tests.output.browsing import DESK, PHONE, show
from tests.output.crewing import Crew, crew_with
from tests.output.sample import OPERATION, hostile, plan_of

PLAN = plan_of()
TODAY = "2026-05-09"
NO_STORE = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('off'); }})"
NO_DISK = "Object.defineProperty(window, 'indexedDB', {get() { throw new Error('off'); }})"
ON_DISK = """new Promise(done => { const asked = indexedDB.open('routeplan', 1); asked.onsuccess = () => {
  const all = asked.result.transaction('kept').objectStore('kept').getAll();
  all.onsuccess = () => done(all.result); };
})"""
KINDS = [pytest.param(PHONE, id="phone"), pytest.param(DESK, id="desk")]


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sheet") / "day.html"
    path.write_text(day_page(OPERATION, PLAN), encoding="utf-8")
    return path


def crew(browser: Any, sheet: Path, **kind: Any) -> Crew:
    return crew_with(browser, sheet, TODAY, **kind)


def understood(path: Path) -> tuple[Notes, State]:
    notes, findings = read_notes(path)
    assert notes is not None, [f.sentence() for f in findings]
    log, faults = log_of(OPERATION, PLAN, [notes])
    assert log is not None, [f.sentence() for f in faults]
    state, faults = state_of(OPERATION, PLAN, log)
    assert state is not None, [f.sentence() for f in faults]
    return notes, state


@pytest.mark.parametrize("kind", KINDS)
def test_a_whole_day_with_three_surprises(
    browser: Any, sheet: Path, tmp_path: Path, kind: dict[str, Any]
) -> None:
    """A weak hive, a box without bees, a locked gate; the phone is off once in between."""
    one = crew(browser, sheet, **kind)
    one.at("09:50")
    one.press(one.stop(1), "Arrived")
    one.hive(1, "A1").get_by_label("capped into box 1").check()
    one.press(one.hive(1, "A1"), "Found")
    one.answer("seen", capped=5.5, queen_cells=0)
    one.at("10:05")
    one.hive(1, "A1").get_by_label("open with eggs into box 1").check()
    one.press(one.hive(1, "A1"), "Hive done")
    one.press(one.hive(1, "A2"), "Could not")
    assert "1 capped: A4 (3), A3 (1)" in one.page.locator("#ask").inner_text()
    one.answer("too weak")
    for box, kinds in (("1", {"food": 1, "bees": 2}), ("2", {"capped": 1})):
        one.press(one.stop(1), "Frames from another hive")
        one.answer(box, "A4", **kinds)
    one.at("10:30")
    one.press(one.hive(1, "A3"), "Hive done")
    one.box(1, 1).check()

    one.page.reload()
    assert one.stop(1).get_by_role("button", name="Arrived").get_attribute("aria-pressed") == "true"
    assert one.box(1, 1).is_checked()
    assert "Box 1 got" not in one.hive(1, "A2").inner_text()
    assert "Could not be worked: too weak." in one.hive(1, "A2").inner_text()
    assert "Found: capped 5.5, queen seen, queen cells 0" in one.hive(1, "A1").inner_text()
    assert not one.page.locator("#load-list").is_visible(), "what is behind is folded away"

    for box in (2, 3):
        one.box(1, box).check()
    one.at("11:00")
    one.stop(1).locator("input.left").click()
    assert one.page.locator("#next a:visible strong").inner_text() == "Birch"
    one.at("11:20")
    totals = one.page.locator("#so-far")
    one.press(one.stop(2), "Arrived")
    assert "shut in 20 of 240 min" in totals.inner_text()
    assert "3 full aboard" in totals.inner_text()
    one.box(2, 1, "placed").check()
    one.press(one.stop(2), "All opened")
    assert "2 full aboard" in totals.inner_text()
    one.press(one.stop(2), "Could not make box 5")
    one.answer("no bees to spare")
    one.box(2, 4).check()
    one.at("12:10")
    one.stop(2).locator("input.left").click()
    one.press(one.stop(3), "Could not")
    asked = one.page.locator("#ask").inner_text()
    assert "Boxes 2–3 can go to Heath, stop 4, instead" in asked
    one.answer("gate locked")
    one.at("12:50")
    assert one.page.locator("#next a:visible strong").inner_text() == "Heath"
    one.press(one.stop(4), "Arrived")
    one.box(4, 4, "placed").check()
    for box in ("2", "3"):
        one.press(one.stop(4), "Another box placed here")
        one.answer(box)
    one.at("13:20")
    one.stop(4).locator("input.left").click()
    one.answer("They were not done", write="Leave")
    assert one.page.locator("#next a:visible strong").inner_text() == "Home"
    assert "0 full aboard" in totals.inner_text()

    notes, state = understood(one.saved(tmp_path))
    assert (notes.plan, notes.day) == (PLAN.id, PLAN.day)
    assert {s.id: s.to_yard for s in state.splits} == {
        "s1": "Birch",
        "s2": "Heath",
        "s3": "Heath",
        "s4": "Heath",
    }
    assert state.skipped == {3: "gate locked"}
    taken = {(t.hive, t.kind, t.frames, t.split) for s in state.stops for t in s.takes}
    assert {("A4", "food", 1, "s1"), ("A4", "shake", 2, "s1"), ("A4", "capped", 1, "s2")} <= taken
    assert not [t for t in taken if t[0] == "A2"]
    assert [s.depart // 60 for s in state.stops] == [11 * 60, 12 * 60 + 10, 13 * 60 + 20]
    assert one.seen.troubles == []
    assert one.seen.asked == []


def test_notes_load_back_to_the_same_notes(browser: Any, sheet: Path, tmp_path: Path) -> None:
    one = crew(browser, sheet, **PHONE)
    one.at("09:50")
    one.press(one.stop(1), "Arrived")
    one.hive(1, "A1").get_by_label("capped into box 1").check()
    one.press(one.hive(1, "A1"), "Hive done")
    one.press(one.hive(1, "A2"), "Found")
    one.answer("gone", "in doubt", bees=4, note="moved <b>off</b>")
    one.press(one.stop(1), "Note")
    one.answer(note="ring the farmer")
    first = one.saved(tmp_path)
    assert "Box 1 got 1 capped (planned 1 capped, 1 open)." in one.hive(1, "A1").inner_text()
    assert "call the bee inspector" in one.stop(1).get_by_role("alert").inner_text()
    other = crew(browser, sheet, **DESK)
    other.at("17:00")
    other.page.locator("#load-notes").set_input_files(first)
    other.page.locator("#kept-said", has_text="Field notes loaded").wait_for()
    again = other.saved(tmp_path / "again")
    assert again.read_text(encoding="utf-8") == first.read_text(encoding="utf-8")
    assert "moved <b>off</b>" in other.hive(1, "A2").inner_text()
    notes, _ = read_notes(first)
    assert notes is not None
    assert [e.what for e in notes.entries] == ["arrived", "frame_taken", "hive_done", "found", "note"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({"notes": 1, "plan": "0" * 16, "entries": []}, "about another plan"),
        ({"notes": 1, "day": "2026-05-10", "entries": []}, "about another day: 2026-05-10"),
        ({"notes": 2, "entries": []}, "no field notes"),
        ("not json", "cannot be read"),
    ],
)
def test_notes_that_are_not_about_this_sheet_are_refused(
    browser: Any, sheet: Path, tmp_path: Path, content: object, words: str
) -> None:
    path = tmp_path / "notes.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    one = crew(browser, sheet, **PHONE)
    one.page.locator("#load-notes").set_input_files(path)
    one.page.locator("#kept-said:visible").wait_for()
    assert words in one.page.locator("#kept-said").inner_text()
    assert one.page.locator("#kept-count").inner_text() == "Nothing is written down yet."


def test_two_sheets_do_not_mix(browser: Any, sheet: Path) -> None:
    other = sheet.with_name("other.html")
    other.write_text(day_page(OPERATION, replace(PLAN, notes=("Another plan.",))), encoding="utf-8")
    one = crew(browser, sheet, **PHONE)
    one.press(one.stop(1), "Arrived")
    one.page.goto(other.as_uri())
    assert one.stop(1).get_by_role("button", name="Arrived").get_attribute("aria-pressed") == "false"
    one.page.goto(sheet.as_uri())
    arrived(one)
    one.page.evaluate("localStorage.clear()")
    on_disk(one, 1)
    one.page.goto(other.as_uri())
    one.page.wait_for_timeout(300)
    arrived(one, pressed=False)


def test_a_browser_that_keeps_nothing_says_so(browser: Any, sheet: Path, tmp_path: Path) -> None:
    one = Crew(show(browser, sheet, **PHONE), TODAY)
    one.page.add_init_script(NO_STORE)
    one.page.add_init_script(NO_DISK)
    one.page.reload()
    assert "keeps nothing" in one.page.locator("#kept-trouble").inner_text()
    one.press(one.stop(1), "Arrived")
    assert '"arrived"' in one.saved(tmp_path).read_text(encoding="utf-8")
    assert one.seen.troubles == []


def arrived(one: Crew, pressed: bool = True) -> None:
    """Whether Arrived of the first stop is written down; what the disk holds comes a moment later."""
    state = "true" if pressed else "false"
    one.stop(1).get_by_role("button", name="Arrived").and_(
        one.page.locator(f"[aria-pressed={state}]")
    ).wait_for(timeout=5000)


def on_disk(one: Crew, count: int) -> None:
    """Wait until so many sheets are written through."""
    one.page.wait_for_function(f"async () => (await {ON_DISK}).length === {count}")


@pytest.mark.parametrize("off", [NO_STORE, NO_DISK], ids=["one place", "the other"])
def test_either_place_is_enough(browser: Any, sheet: Path, off: str) -> None:
    one = Crew(show(browser, sheet, **PHONE), TODAY)
    one.page.add_init_script(off)
    one.page.reload()
    one.press(one.stop(1), "Arrived")
    if off == NO_STORE:
        on_disk(one, 1)
    one.page.reload()
    arrived(one)
    assert not one.page.locator("#kept-trouble").is_visible()
    assert "kept on this phone" in one.page.locator("#kept-count").inner_text()
    assert one.seen.troubles == []


def test_the_newer_of_two_copies_counts(browser: Any, sheet: Path) -> None:
    """One place is set back to what it held before, first the one, then the other."""
    one = crew(browser, sheet, **PHONE)
    one.press(one.stop(1), "Arrived")
    on_disk(one, 1)
    before = one.page.evaluate("Object.entries(localStorage)")
    one.page.locator("#stop-1 .hive li .tick input").first.check()
    one.press(one.hive(1, "A1"), "Hive done")
    one.page.wait_for_function(f"async () => (await {ON_DISK})[0].includes('hive_done')")
    one.page.evaluate("rows => rows.forEach(([k, v]) => localStorage.setItem(k, v))", before)
    one.page.reload()
    one.stop(1).locator(".hive.through").wait_for()
    assert one.page.locator("#stop-1 .hive li .tick input").first.is_checked()
    one.press(one.hive(1, "A1"), "Hive done")  # taken back
    one.page.wait_for_function(f"async () => !(await {ON_DISK})[0].includes('hive_done')")
    one.page.evaluate(
        "async rows => { const db = await new Promise(d => { const a = indexedDB.open('routeplan', 1); "
        "a.onsuccess = () => d(a.result); }); const job = db.transaction('kept', 'readwrite'); "
        "job.objectStore('kept').put(rows[0][1], rows[0][0]); await new Promise(d => job.oncomplete = d); }",
        before,
    )
    one.page.reload()
    arrived(one)
    one.page.wait_for_timeout(300)
    assert one.stop(1).locator(".hive.through").count() == 0
    assert one.page.locator("#stop-1 .hive li .tick input").first.is_checked()


def test_what_is_kept_but_cannot_be_read_is_put_aside_and_said(browser: Any, sheet: Path) -> None:
    spoil = "Object.keys(localStorage).forEach(k => localStorage.setItem(k, '{half'))"
    one = crew(browser, sheet, **PHONE)
    one.press(one.stop(1), "Arrived")
    on_disk(one, 1)
    one.page.evaluate(spoil)
    one.page.reload()
    arrived(one)  # the other copy can be read
    assert not one.page.locator("#kept-trouble").is_visible()
    one.page.add_init_script(NO_DISK)
    one.page.evaluate(spoil)
    one.page.reload()
    assert "cannot be read" in one.page.locator("#kept-trouble").inner_text()
    aside = one.page.evaluate("Object.keys(localStorage).filter(k => k.endsWith('unreadable')).length")
    assert aside == 1


def test_a_time_can_be_put_right(browser: Any, sheet: Path, tmp_path: Path) -> None:
    one = crew(browser, sheet, **PHONE)
    one.at("10:10")
    one.press(one.stop(1), "Arrived")
    one.page.get_by_label("Arrived: time").first.fill("09:40")
    assert "Back about" in one.page.locator("#so-far").inner_text()
    assert "(5 min early)" in one.page.locator("#so-far").inner_text()  # planned at 09:45
    entry = json.loads(one.saved(tmp_path).read_text(encoding="utf-8"))["entries"][0]
    assert entry == {"at": "09:40", "stop": 1, "yard": "Alder", "what": "arrived"}


def test_a_box_that_is_short_is_asked_about(browser: Any, sheet: Path) -> None:
    one = crew(browser, sheet, **PHONE)
    one.press(one.hive(1, "A3"), "Could not")
    one.answer("bad temper")
    one.box(1, 3).click()  # all of box 3 was to come from A3
    assert "has nothing in it" in one.page.locator("#ask").inner_text()
    one.press(one.page.locator("#ask"), "All right")
    assert not one.box(1, 3).is_checked()


def test_hives_that_stand_by_in_another_yard_only_are_named_so(browser: Any, sheet: Path) -> None:
    """Of capped brood no hive is left at Alder; at Birch, the next stop, three could give one."""
    rows = tuple(
        replace(r, hives=()) if (r.yard, r.kind) == ("Alder", "capped") else r for r in PLAN.standbys
    )
    bare = sheet.with_name("bare.html")
    bare.write_text(day_page(OPERATION, replace(PLAN, standbys=rows)), encoding="utf-8")
    one = crew(browser, bare, **PHONE)
    one.press(one.hive(1, "A1"), "Could not")
    asked = one.page.locator("#ask").inner_text()
    assert "capped: no hive here. In another yard: B1 (1), B2 (1), B3 (1) at Birch, stop 2." in asked
    assert "Not for this box: make the whole box there, if that yard has all it needs." in asked


def test_more_brood_than_the_rule_is_said(browser: Any, sheet: Path) -> None:
    ruled = sheet.with_name("ruled.html")
    ruled.write_text(day_page(rich.OPERATION, rich.rich_plan()), encoding="utf-8")
    one = crew(browser, ruled, **PHONE)
    one.press(one.stop(1), "Frames from another hive")
    one.answer("3", "A8", capped=2, open=1)
    assert "3 brood from hive A8: the rule here is 2" in one.stop(1).inner_text()


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_pressed_is_big_enough(browser: Any, sheet: Path, kind: dict[str, Any]) -> None:
    """44 px each way, the size of a fingertip (WCAG 2.2, success criterion 2.5.5)."""
    one = crew(browser, sheet, **kind)
    one.press(one.stop(1), "Could not")
    small = one.page.evaluate(
        "[...document.querySelectorAll('main button, main .tick, main .out input, #ask button, .choice')]"
        ".filter(e => e.offsetParent).map(e => [e.textContent, e.getBoundingClientRect()])"
        ".filter(([t, b]) => b.width < 44 || b.height < 44).map(([t, b]) => [t, b.width, b.height])"
    )
    assert small == []


@pytest.mark.parametrize("kind", KINDS)
def test_no_serious_finding_for_people_who_cannot_see_it(
    browser: Any, sheet: Path, kind: dict[str, Any]
) -> None:
    """axe-core, an independent checker of the rules of WCAG."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    one = crew(browser, sheet, **kind)

    def serious() -> list[tuple[str, Any]]:
        found = axe.run(one.page).response["violations"]
        return [
            (v["id"], [n["html"] for n in v["nodes"]])
            for v in found
            if v["impact"] in ("serious", "critical")
        ]

    assert serious() == []
    one.press(one.stop(1), "Arrived")
    one.press(one.hive(1, "A1"), "Found")
    assert serious() == []


def test_keys_alone_are_enough(browser: Any, sheet: Path) -> None:
    one = crew(browser, sheet, **DESK)
    one.stop(1).locator(".fold").focus()
    one.page.keyboard.press("Tab")
    assert one.page.evaluate("document.activeElement.textContent") == "Arrived"
    one.page.keyboard.press("Space")
    one.page.keyboard.press("Tab")  # to the time
    for _ in range(4):
        if one.page.evaluate("document.activeElement.textContent") == "Could not …":
            break
        one.page.keyboard.press("Tab")
    one.page.keyboard.press("Enter")
    assert one.page.locator("#ask").is_visible()
    one.page.keyboard.press("Escape")
    assert not one.page.locator("#ask").is_visible()
    assert one.page.evaluate("document.activeElement.textContent") == "Could not …", "focus comes back"


def test_a_first_pass_above_an_excluder_is_no_hive_that_gives_yet(browser: Any, sheet: Path) -> None:
    first = replace(rich.rich_plan().stops[0], sets=(SetAbove("A8", 2, 2, 40000),))
    plan = replace(rich.rich_plan(), stops=(first, *rich.rich_plan().stops[1:]))
    passes = sheet.with_name("passes.html")
    passes.write_text(day_page(rich.OPERATION, plan), encoding="utf-8")
    one = crew(browser, passes, **PHONE)
    assert one.stop(1).locator(".hive.first").count() == 1
    one.press(one.hive(1, first.opens[0]), "Hive done")
    assert f"hive {first.opens[0]}: hive done" in written(one)


def test_a_box_of_two_yards_is_put_right_where_it_is_begun(browser: Any, sheet: Path) -> None:
    operation, plan = food_first()
    begun = sheet.with_name("begun.html")
    begun.write_text(day_page(operation, plan), encoding="utf-8")
    one = crew(browser, begun, **PHONE)
    row = one.stop(1).locator("li.begun")
    one.press(one.stop(1), "Other frames from hive A1 into box 3")
    one.answer(food=2)
    assert "Got otherwise: 2 food from hive A1." in row.inner_text()
    one.press(row, "Could not begin box 3")
    one.answer("box broken")
    assert "Not begun: box broken." in row.inner_text()
    assert "box 3: could not box broken" in written(one)
    assert one.seen.troubles == []


def written(one: Crew) -> str:
    one.page.locator("#field-notes summary").click()
    one.page.locator("#kept-list li").first.wait_for()
    return str(one.page.locator("#kept-list").inner_text())


def test_a_yard_in_doubt_is_closed_up_and_written_down(browser: Any, sheet: Path, tmp_path: Path) -> None:
    one = crew(browser, sheet, **PHONE)
    one.at("09:50")
    one.press(one.stop(1), "Arrived")
    one.press(one.stop(1), "Health in doubt")
    one.answer()
    assert "call the bee inspector" in one.stop(1).get_by_role("alert").inner_text()
    notes, _ = read_notes(one.saved(tmp_path))
    assert notes is not None
    log, _ = log_of(OPERATION, PLAN, [notes])
    assert log is not None
    assert log.suspect == ("Alder",)


def test_names_of_any_letters_are_only_text(browser: Any, sheet: Path) -> None:
    evil = sheet.with_name("evil.html")
    evil.write_text(day_page(*hostile()), encoding="utf-8")
    one = crew(browser, evil, **PHONE)
    one.press(one.stop(1).locator(".hive").first, "Could not")
    one.answer(own="<img src=x onerror=alert(1)>")
    one.press(one.stop(1), "Could not")
    one.answer("gate locked")
    assert one.page.locator("img").count() == 0
    assert one.seen.troubles == []
