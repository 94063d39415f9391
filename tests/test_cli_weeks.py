"""The command line on what comes after the day: dates that are missed, how colonies fare."""

import re
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from routeplan.plan import Done, to_json
from tests.test_cli import TINY, run
from tests.tiny import tiny_plan


def test_check_names_the_date_that_is_missed(tmp_path: Path) -> None:
    folder = tmp_path / "late"
    shutil.copytree(TINY, folder)
    settings = folder / "settings.toml"
    settings.write_text(settings.read_text() + '\n[year]\nlast_split = "2020-01-01"\n', encoding="utf-8")
    done = run("check", folder)
    assert done.exit_code == 0
    assert "too late: the last day to split is 2020-01-01" in done.output


def with_plan(tmp_path: Path) -> Path:
    """The tiny operation with the plan of its day in its folder."""
    folder = tmp_path / "tiny"
    shutil.copytree(TINY, folder)
    plan = tiny_plan()
    there = folder / "plans" / plan.day.isoformat()
    there.mkdir(parents=True)
    (there / "plan.json").write_text(to_json(plan), encoding="utf-8")
    return folder


def test_forecast_tells_of_every_split_and_donor(tmp_path: Path) -> None:
    folder = with_plan(tmp_path)
    newest = run("forecast", folder)
    assert newest.exit_code == 0
    plan = tiny_plan()
    donors = {f"hive {h} at {s.yard}" for s in plan.stops for h in s.opens}
    assert {line.split("  ")[0] for line in newest.stdout.splitlines()} >= donors
    there = next(folder.glob("plans/*/plan.json"))
    assert (there.parent / "forecast.html").read_text(encoding="utf-8").count('<svg class="chart"')
    assert there.exists()
    named = run("forecast", folder, there, "--out", tmp_path / "elsewhere")
    assert named.stdout.splitlines()[:-1] == newest.stdout.splitlines()[:-1]
    assert named.stdout.splitlines()[-1] == f"wrote {tmp_path / 'elsewhere' / 'forecast.html'}"


def test_forecast_without_a_plan_says_so(tmp_path: Path) -> None:
    shutil.copytree(TINY, tmp_path / "tiny")
    done = run("forecast", tmp_path / "tiny")
    assert done.exit_code == 2
    assert "make one first" in done.stderr
    broken = tmp_path / "plan.json"
    broken.write_text("{}", encoding="utf-8")
    assert run("forecast", tmp_path / "tiny", broken).exit_code == 1


def test_due_lists_looks_from_the_plans_alone(tmp_path: Path) -> None:
    """The tables may have moved on, or hold faults: looks come from the plans."""
    folder = with_plan(tmp_path)
    (folder / "hives.csv").write_text("hive,yard\n", encoding="utf-8")
    plan = tiny_plan()
    done = run("due", folder, "--on", (plan.day + timedelta(6)).isoformat())
    assert done.exit_code == 0
    assert done.stdout.startswith("Due on ")
    assert all(f" {yard}" in done.stdout for yard in {s.yard for s in plan.stops if s.opens})
    assert run("due", folder).exit_code == 0


def test_due_goes_by_the_last_plan_of_the_day(tmp_path: Path) -> None:
    """A plan made again in mid-day, and one made again from that, stand in folders inside the day's."""
    folder = with_plan(tmp_path)
    on = ("--on", (tiny_plan().day + timedelta(6)).isoformat())
    day = next(folder.glob("plans/*"))
    plan = tiny_plan()
    again = replace(plan, done=Done(1, 38000, plan.id, (), (), (), ()))
    few = replace(plan, splits=plan.splits[:2], done=Done(1, 38000, again.id, (), (), (), ()))
    first = run("due", folder, *on).stdout
    assert "box 3" in first
    for name, made in (("in the rain", again), ("in the rain/by hand", few)):
        (day / name).mkdir()
        (day / name / "plan.json").write_text(to_json(made), encoding="utf-8")
    assert "box 3" not in run("due", folder, *on).stdout
    assert "hives A1 and A2 of Sat 15 May" in run("due", folder, *on).stdout
    # a folder's name says nothing: the day's first plan, copied, is not the last
    (day / "again-2359").mkdir()
    (day / "again-2359" / "plan.json").write_text(to_json(plan), encoding="utf-8")
    assert "box 3" not in run("due", folder, *on).stdout
    later = replace(plan, done=Done(1, 38060, plan.id, (), (), (), ()))
    (day / "a copy").mkdir()
    (day / "a copy" / "plan.json").write_text(to_json(later), encoding="utf-8")
    assert "box 3" in run("due", folder, *on).stdout


def test_due_names_plans_it_cannot_read(tmp_path: Path) -> None:
    folder = with_plan(tmp_path)
    old = folder / "plans" / "2020-01-01"
    old.mkdir()
    (old / "plan.json").write_text('{"routeplan_plan": 1}', encoding="utf-8")
    done = run("due", folder, "--on", (tiny_plan().day + timedelta(6)).isoformat())
    assert done.exit_code == 1
    assert "not a plan of layout" in done.stderr
    assert done.stdout.startswith("Due on ")


def test_due_with_faulty_settings(tmp_path: Path) -> None:
    folder = with_plan(tmp_path)
    (folder / "settings.toml").write_text("[queens]\neggs_days = -1\n", encoding="utf-8")
    done = run("due", folder)
    assert done.exit_code == 1
    assert "queens.eggs_days" in done.stderr


def test_a_copy_to_pass_on_is_not_told_twice(tmp_path: Path) -> None:
    folder = with_plan(tmp_path)
    once = run("due", folder, "--on", (tiny_plan().day + timedelta(6)).isoformat())
    there = next(folder.glob("plans/*"))
    shutil.copytree(there, there.with_name(f"{there.name}-to-share"))
    assert run("due", folder, "--on", (tiny_plan().day + timedelta(6)).isoformat()).stdout == once.stdout


def test_due_leaves_out_what_the_hives_table_says_is_done(tmp_path: Path) -> None:
    folder = with_plan(tmp_path)
    plan = tiny_plan()
    donor = next((s.yard, s.opens[0]) for s in plan.stops if s.opens)
    on = plan.day + timedelta(6)
    before = run("due", folder, "--on", on.isoformat()).stdout
    assert re.search(rf"hives? .*\b{donor[1]}\b", before.split(f" {donor[0]}\n")[1])
    table = folder / "hives.csv"
    heads = table.read_text(encoding="utf-8").splitlines()[0].split(",")
    cells = {"hive": donor[1], "yard": donor[0], "inspected": on.isoformat(), "eggs_seen": "yes"}
    row = ",".join(cells.get(head, "") for head in heads)
    table.write_text(table.read_text(encoding="utf-8").rstrip("\n") + f"\n{row}\n", encoding="utf-8")
    after = run("due", folder, "--on", on.isoformat()).stdout
    here = after.split(f" {donor[0]}\n")[1:] or [""]
    assert not re.search(rf"hives? .*\b{donor[1]}\b", here[0].split("\n ")[0])
    assert len(after) < len(before)
