"""The example's day on a phone, planned again from the field notes the sheet saved; the new sheet opened."""

import shutil
import signal
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from routeplan import cli
from routeplan.operation.read import read_operation
from routeplan.output.page import day_page
from routeplan.plan import from_json
from tests.output.browsing import DESK, PHONE
from tests.output.crewing import crew_with

TOP = Path(__file__).parents[2]
EXAMPLE, PLAN = TOP / "data" / "example", TOP / "maps" / "example" / "plan.json"


def run(*arguments: object) -> Any:
    handler = signal.getsignal(signal.SIGINT)
    try:
        return CliRunner().invoke(cli.main, [str(a) for a in arguments], catch_exceptions=False)
    finally:
        signal.signal(signal.SIGINT, handler)


def test_half_a_day_with_three_surprises_is_planned_again(browser: Any, tmp_path: Path) -> None:
    """A weak hive, a box without bees, a yard that cannot be reached; then the rest of the day from there."""
    operation, _ = read_operation(EXAMPLE, None)
    plan = from_json(PLAN.read_text(encoding="utf-8"))
    assert operation is not None
    shutil.copy(PLAN, tmp_path / "plan.json")
    shutil.copy(PLAN.with_name("followups.ics"), tmp_path / "followups.ics")
    (tmp_path / "day.html").write_text(day_page(operation, plan), encoding="utf-8")
    one = crew_with(browser, tmp_path / "day.html", plan.day.isoformat(), **PHONE)
    one.at("09:52")
    one.press(one.stop(1), "Arrived")
    one.at("10:44")
    one.stop(1).locator("input.left").click()
    one.answer("They were done as planned", write="Leave")
    one.at("11:05")
    one.press(one.stop(2), "Arrived")
    weak, split = plan.stops[1].takes[0].hive, plan.stops[1].takes[0].split
    one.press(one.hive(2, weak), "Could not")
    one.answer("too weak")
    given = [t for t in plan.stops[1].takes if t.hive == weak]
    assert {t.split for t in given} == {split}, "the weak hive of this day gives to one box"
    one.press(one.stop(2), f"Could not make box {split[1:]}")
    one.answer("frames are short")
    one.page.reload()
    one.at("12:50")
    one.stop(2).locator("input.left").click()
    one.answer("They were done as planned", write="Leave")
    one.page.locator("#stop-4 .fold").click()
    one.press(one.stop(4), "Could not")
    one.answer("gate locked")
    assert one.seen.troubles == []

    done = run("replan", EXAMPLE, tmp_path / "plan.json", one.saved(tmp_path), "--out", tmp_path / "again")
    assert done.exit_code in (0, cli.NOT_ALL), done.output
    again = from_json((tmp_path / "again" / "plan.json").read_text(encoding="utf-8"))
    assert again.done is not None
    assert (again.done.stops, again.done.plan) == (2, plan.id)
    made = {s for stop in plan.stops[:2] for s in stop.makes} - {split}
    assert made <= {s.id for s in again.splits}, "no split that is made is lost"
    assert plan.stops[3].yard not in [s.yard for s in again.stops[2:]]

    for kind in (PHONE, DESK):
        new = crew_with(browser, tmp_path / "again" / "day.html", plan.day.isoformat(), **kind)
        assert new.page.locator("#next a:visible .big").inner_text() == "3"
        said = new.page.locator("#changed").inner_text()
        for line in again.done.changed:
            assert line in said
        assert f"{again.stops[1].full} full aboard" in new.page.locator("#so-far").inner_text()
        assert new.seen.troubles == []
        assert new.seen.asked == []
    calendar = (tmp_path / "again" / "followups.ics").read_text(encoding="utf-8")
    assert "SEQUENCE:1" in calendar, "the calendar goes on from the one of the plan before"
