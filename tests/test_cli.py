"""The command line, as a person meets it: what is said, what is written, and the exit codes.

Most runs are in-process on the tiny operation (see tests/tiny.py); where signals, encodings or imports matter
the program is started as one.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

from routeplan import __version__, cli
from routeplan.audit.violation import Violation
from routeplan.operation.columns import TABLES
from routeplan.operation.world import Operation
from routeplan.output.files import HeldError, PartlyWrittenError, write_whole
from routeplan.plan import Plan, from_json
from routeplan.planning import solve
from routeplan.planning.avoid import without_yards
from tests.bench.tables import write_tables
from tests.seeded import bench_operation

TOP = Path(__file__).parents[1]
TINY = TOP / "tests" / "data" / "tiny"
EXAMPLE_PLAN = TOP / "maps" / "example" / "plan.json"
WRITTEN = ("plan.json", "day.html", "plan.xlsx", "stops.gpx", "places.geojson", "followups.ics")
FILES = tuple(sorted(WRITTEN))


def run(*arguments: object) -> Result:
    """Run a command in this process; anything but a clean exit is an error of the test."""
    handler = signal.getsignal(signal.SIGINT)
    try:
        done = CliRunner().invoke(cli.main, [str(a) for a in arguments])
    finally:
        signal.signal(signal.SIGINT, handler)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done


def command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "routeplan", *map(str, arguments)]


def start(*arguments: object, folder: Path = TOP, **changed: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command as a program of its own."""
    environment = os.environ | {"PYTHONPATH": str(TOP)} | changed
    return subprocess.run(command(*arguments), cwd=folder, env=environment, capture_output=True, timeout=240)


def plain(body: str) -> dict[str, Any]:
    """A plan.json without its record of the run."""
    read: dict[str, Any] = json.loads(body)
    assert set(read.pop("run")) == {"seconds", "routeplan", "stopped_early"}
    return read


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """A copy of the tiny operation: three of its four splits can be placed."""
    return Path(shutil.copytree(TINY, tmp_path / "tiny"))


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} is not once in {path.name}"
    path.write_text(text.replace(old, new), encoding="utf-8")


# --- help -------------------------------------------------------------------------------------------------


def test_help_names_every_command_and_the_version_is_said() -> None:
    said = run("--help")
    assert said.exit_code == 0
    assert re.findall(r"^  (\w+)  ", said.stdout, re.M) == sorted(cli.main.commands)
    assert run("--version").stdout == f"routeplan, version {__version__}\n"
    for name in cli.main.commands:
        one = run(name, "-h")
        assert one.exit_code == 0
        assert one.stdout.startswith("Usage:")


def test_help_needs_no_heavy_library() -> None:
    heavy = {"folium", "geopy", "jinja2", "numpy", "openpyxl", "ortools", "pandas"}
    asked = f"import sys, routeplan.cli; print(sorted({heavy} & set(sys.modules)))"
    said = subprocess.run([sys.executable, "-c", asked], cwd=TOP, capture_output=True, text=True, check=True)
    assert said.stdout == "[]\n"


# --- exit codes -------------------------------------------------------------------------------------------


def test_all_placed_is_0(tiny: Path) -> None:
    change(tiny / "splits.csv", "later,1,five-frame,mated,3\n", "")
    done = run("plan", tiny)
    assert (done.exit_code, done.stderr.count("error")) == (0, 0)
    out = tiny / "plans" / "2027-05-15"
    assert sorted(p.name for p in out.iterdir()) == list(FILES)
    first, *said = done.stdout.splitlines()
    assert first.startswith("3 splits · 3 stops · ")
    assert first.endswith(" · best possible")
    assert said[-6:] == [f"wrote {out / name}" for name in WRITTEN]
    checked = run("audit", tiny, out / "plan.json")
    assert (checked.exit_code, checked.stdout) == (0, "No rule is broken: 3 splits, 3 stops.\n")


def test_faults_in_the_data_are_1_and_all_listed(tiny: Path) -> None:
    change(tiny / "hives.csv", "A1,Acacia", "A1,Acacai")
    change(tiny / "hives.csv", "2027-05-12,10,3,2,4", "2027-05-12,ten,3,2,4")
    change(tiny / "yards.csv", "Dam,0.0000,36.0900", "Dam,0.0000,")
    change(tiny / "splits.csv", "eggs,1,three-frame", "eggs,1,three-farme")
    change(tiny / "hives.csv", "food,eggs_seen", "food,egs seen")
    done = run("plan", tiny, "--out", tiny / "out")
    assert (done.exit_code, done.stdout) == (cli.DATA_FAULT, "")
    *lines, last = done.stderr.splitlines()
    faults = [line.split(":", 2)[1].strip() for line in lines if line.startswith("error: ")]
    assert sorted(faults) == [
        "hives.csv, row 2, column yard",
        "hives.csv, row 4, column bees",
        "splits.csv, row 3, column kit",
        "yards.csv, row 5, column lon",
    ]
    assert any(line.startswith("warning: hives.csv, column egs seen: This column is ") for line in lines)
    assert all(line.startswith(("error: ", "warning: ")) for line in lines), "one line a fault"
    assert last == "4 faults to put right before planning."
    assert not (tiny / "out").exists()


def test_one_fault_is_said_in_the_singular(tiny: Path) -> None:
    change(tiny / "hives.csv", "A1,Acacia", "A1,Acacai")
    done = run("plan", tiny)
    assert done.exit_code == cli.DATA_FAULT
    assert done.stderr.endswith("\n1 fault to put right before planning.\n")


def test_a_table_that_must_be_there(tiny: Path) -> None:
    (tiny / "yards.csv").unlink()
    done = run("plan", tiny)
    assert done.exit_code == cli.DATA_FAULT
    assert "error: yards.csv: " in done.stderr


def test_a_plan_that_cannot_be_read_is_1(tiny: Path) -> None:
    path = tiny / "plan.json"
    for content in (b"{", b'{"routeplan_plan": 999}', b"\xff\xfe", b"[]"):
        path.write_bytes(content)
        done = run("audit", tiny, path)
        assert done.exit_code == cli.DATA_FAULT
        assert str(path) in done.stderr


@pytest.mark.parametrize(
    "wrong",
    [
        ("plan",),
        ("plan", "nowhere"),
        ("plan", TINY, "--seconds", "0"),
        ("plan", TINY, "--seconds", "soon"),
        ("plan", TINY, "--day", "15 May"),
        ("plan", TINY, "--day", "2027-02-30"),
        ("plan", TINY, "--fast"),
        ("plan", TINY, "--avoid", "Cedra"),
        ("check", "nowhere"),
        ("audit", TINY),
        ("audit", TINY, "nothing.json"),
        ("new",),
        ("forecasts", TINY),
    ],
    ids=lambda wrong: " ".join(str(w) for w in wrong).replace(str(TINY), "tiny"),
)
def test_wrong_usage_is_2(wrong: tuple[object, ...]) -> None:
    done = run(*wrong)
    assert done.exit_code == cli.USAGE
    assert "Error: " in done.stderr


def test_something_left_out_is_3_with_its_reason(tiny: Path) -> None:
    done = run("plan", tiny, "--out", tiny / "out")
    assert done.exit_code == cli.NOT_ALL
    assert sorted(p.name for p in (tiny / "out").iterdir()) == list(FILES)
    head, *rows = done.stderr.split("Not in the plan:\n")[1].splitlines()
    assert re.fullmatch(r"  1 of order later: .+ \(R\d+\)", head)
    assert not any(re.fullmatch(r"  \d+ of order .+ \(R\d+\)", row) for row in rows)
    written = plain((tiny / "out" / "plan.json").read_text(encoding="utf-8"))
    assert [(u["order"], u["count"]) for u in written["unplaced"]] == [("later", 1)]


def test_no_plan_is_4_and_nothing_is_written(tiny: Path) -> None:
    (tiny / "settings.toml").write_text('day = 2027-05-15\nminimum_distance = "100 km"\n', encoding="utf-8")
    done = run("plan", tiny, "--out", tiny / "out")
    assert (done.exit_code, done.stdout) == (cli.NO_PLAN, "")
    assert not (tiny / "out").exists()
    said = done.stderr.split("Not in the plan:\n")[1].splitlines()
    assert [re.sub(r": .+ \(", " (", row) for row in said[:3]] == [
        "  2 of order caged (R5)",
        "  1 of order eggs (R5)",
        "  1 of order later (R5)",
    ]
    assert said[-1] == "No plan: none of the splits asked for can be placed. Nothing was written."
    assert "To know, no advice:" in said
    assert any("drift home" in row for row in said), "how far the farthest yard is"


def test_no_plan_in_the_time_given_is_not_called_impossible(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None of the splits placed, but not proved that none can be."""

    def hurried(operation: Operation, *given: object) -> Plan:
        plan = solve.plan_day(without_yards(operation, ("Acacia", "Borehole")), 5.0)
        return replace(plan, proof=replace(plan.proof, count_status="feasible"))

    monkeypatch.setattr(solve, "plan_in_full", hurried)
    monkeypatch.setattr("routeplan.audit.audit", lambda operation, made: [])
    done = run("plan", tiny, "--out", tiny / "out")
    assert (done.exit_code, done.stdout) == (cli.NO_PLAN, "")
    assert done.stderr.endswith("No plan: none was found in the time given. Nothing was written.\n")
    assert not (tiny / "out").exists()


def test_a_plan_that_fails_its_audit_is_5_and_not_written(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = [Violation("R6", "Cedar has room for 4 and gets 5.", 1, "splits")]
    monkeypatch.setattr("routeplan.audit.audit", lambda operation, made: broken)
    done = run("plan", tiny, "--out", tiny / "out")
    assert (done.exit_code, done.stdout) == (cli.FAILED_AUDIT, "")
    assert "R6: Cedar has room for 4 and gets 5.\n" in done.stderr
    assert "fault of routeplan" in done.stderr
    assert not (tiny / "out").exists()


def test_a_plan_changed_by_hand_is_5(tiny: Path) -> None:
    run("plan", tiny, "--out", tiny / "out")
    path = tiny / "out" / "plan.json"
    body = json.loads(path.read_text(encoding="utf-8"))
    body["stops"][0]["depart"] = "18:00:00"
    path.write_text(json.dumps(body), encoding="utf-8")
    done = run("audit", tiny, path)
    assert done.exit_code == cli.FAILED_AUDIT
    rules = [line.split(": ")[0] for line in done.stdout.splitlines()]
    assert "R13" in rules
    assert f"{len(rules)} broken.\n" in done.stderr


# --- yards left out ---------------------------------------------------------------------------------------


def test_yards_that_are_avoided_give_and_take_nothing(tiny: Path) -> None:
    """Without Acacia only the split from Borehole is left; the audit takes the whole tables."""
    done = run("plan", tiny, "--avoid", "acacia", "--out", tiny / "out")
    assert done.exit_code == cli.NOT_ALL
    read = plain((tiny / "out" / "plan.json").read_text(encoding="utf-8"))
    assert {s["from_yard"] for s in read["splits"]} == {"Borehole"}
    assert "Left out of this plan on request: Acacia." in read["notes"]
    left_out = [h for h in read["hives"] if h["yard"] == "Acacia"]
    assert {h["reason"] for h in left_out} == {"left out of this plan on request"}
    assert any(h["could"] for h in left_out), "what its hives could give is told all the same"
    assert run("audit", tiny, tiny / "out" / "plan.json").exit_code == 0


def test_several_yards_are_avoided(tiny: Path) -> None:
    done = run("plan", tiny, "--avoid", "Acacia", "--avoid", "Borehole")
    assert done.exit_code == cli.NO_PLAN


def test_a_yard_that_is_not_there_names_those_near(tiny: Path) -> None:
    done = run("plan", tiny, "--avoid", "Cedra", "--out", tiny / "out")
    assert done.exit_code == cli.USAGE
    assert "There is no yard 'Cedra'. Did you mean Cedar" in done.stderr
    assert not (tiny / "out").exists()


# --- a copy to pass on ------------------------------------------------------------------------------------


def test_a_copy_to_pass_on_has_a_folder_of_its_own(tiny: Path) -> None:
    done = run("plan", tiny, "--share")
    assert done.exit_code == cli.NOT_ALL
    out = tiny / "plans" / "2027-05-15-to-share"
    assert sorted(p.name for p in out.iterdir()) == ["day.html", "followups.ics", "plan.json", "plan.xlsx"]
    assert "36.06" not in (out / "day.html").read_text(encoding="utf-8")
    assert run("audit", tiny, out / "plan.json").exit_code == 0


def test_a_copy_to_pass_on_does_not_lie_beside_positions(tiny: Path) -> None:
    assert run("plan", tiny, "--out", tiny / "out").exit_code == cli.NOT_ALL
    before = {p.name: p.read_bytes() for p in (tiny / "out").iterdir()}
    done = run("plan", tiny, "--share", "--out", tiny / "out")
    assert done.exit_code == cli.USAGE
    assert "holds stops.gpx and places.geojson, with positions" in done.stderr
    assert {p.name: p.read_bytes() for p in (tiny / "out").iterdir()} == before


# --- what is said -----------------------------------------------------------------------------------------


def test_the_weeks_after_other_plans_and_money_are_said(tiny: Path) -> None:
    change(tiny / "splits.csv", "later,1,five-frame,mated,3\n", "")
    with (tiny / "settings.toml").open("a", encoding="utf-8") as file:
        file.write('\n[costs]\ncurrency = "EUR"\nper_km = 0.4\nper_hour = 20.0\n')
    done = run("plan", tiny, "--out", tiny / "out")
    assert done.exit_code == 0
    read = plain((tiny / "out" / "plan.json").read_text(encoding="utf-8"))
    _, after, *others, money = done.stdout.splitlines()[:-6]
    trips = sum(row["trips"] for row in read["after"])
    minutes = round(read["totals"]["later_s"] / 60)
    yards = " and ".join(row["yard"] for row in read["after"] if row["trips"])
    assert after == f"In the weeks after: {minutes // 60} h {minutes % 60} min for {trips} trips to {yards}."
    assert len(others) == len(read["alternatives"])
    assert all(line.startswith("Or ") for line in others)
    cost = read["cost"]
    assert money == f"Money: {cost['total']:.2f} EUR in all, {cost['per_split']:.2f} EUR a split."


def test_what_would_help_is_said_with_what_is_missing(tiny: Path) -> None:
    """With boxes and combs enough, hives are what is short for a split of five frames."""
    change(tiny / "stock.csv", "nuc box,deep,3", "nuc box,deep,4")
    change(tiny / "stock.csv", "foundation,deep,9", "foundation,deep,30")
    done = run("plan", tiny, "--out", tiny / "out")
    read = plain((tiny / "out" / "plan.json").read_text(encoding="utf-8"))
    told = [c["sentence"] for c in read["changes"]]
    assert told
    for sentence in told:
        assert f"  {sentence}\n" in done.stderr


# --- what is read -----------------------------------------------------------------------------------------


def test_another_day(tiny: Path) -> None:
    assert "Fri 2027-05-14" in run("check", tiny, "--day", "2027-05-14").stdout
    run("plan", tiny, "--day", "2027-05-14")
    written = plain((tiny / "plans" / "2027-05-14" / "plan.json").read_text(encoding="utf-8"))
    assert written["day"] == "2027-05-14"
    checked = run("audit", tiny, tiny / "plans" / "2027-05-14" / "plan.json")
    assert checked.exit_code == 0, "the audit takes the plan's own day"


def test_a_day_long_after_the_counts_gives_no_plan(tiny: Path) -> None:
    done = run("plan", tiny, "--day", "2027-08-01")
    assert done.exit_code == cli.NO_PLAN
    assert not (tiny / "plans").exists()


def test_a_workbook_plans_as_its_tables_do(tiny: Path) -> None:
    book = openpyxl.Workbook()
    for path in sorted(tiny.glob("*.csv")):
        sheet = book.create_sheet(path.stem)
        for line in path.read_text(encoding="utf-8").replace('"0.0, 36.0"', "0.0; 36.0").splitlines():
            sheet.append([cell.replace("; ", ", ") for cell in line.split(",")])
    del book["Sheet"]
    folder = tiny.parent / "book"
    folder.mkdir()
    book.save(folder / "bees.xlsx")
    shutil.copy(tiny / "settings.toml", folder)
    assert run("plan", folder / "bees.xlsx").exit_code == run("plan", tiny).exit_code == cli.NOT_ALL
    ours, theirs = (
        plain((f / "plans" / "2027-05-15" / "plan.json").read_text(encoding="utf-8")) for f in (folder, tiny)
    )
    assert ours == theirs


# --- what is written --------------------------------------------------------------------------------------


def test_new_writes_every_table_once(tmp_path: Path) -> None:
    done = run("new", tmp_path / "bees")
    assert done.exit_code == 0
    names = [*(f"{table}.csv" for table in TABLES), "settings.toml", "guide.txt"]
    *wrote, hint = done.stdout.splitlines()
    assert wrote == [f"wrote {tmp_path / 'bees' / name}" for name in names]
    assert hint.startswith("Fill in yards, hives and splits; the guide")
    again = run("new", tmp_path / "bees", "--example")
    assert (again.exit_code, again.stdout) == (cli.USAGE, "")
    assert "already there; nothing was written" in again.stderr


def test_new_where_a_file_is_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "bees").write_text("mine", encoding="utf-8")
    assert run("new", tmp_path / "bees").exit_code == cli.USAGE
    assert (tmp_path / "bees").read_text(encoding="utf-8") == "mine"


def test_same_input_same_files(tiny: Path) -> None:
    bodies = []
    for name in ("one", "two"):
        run("plan", tiny, "--out", tiny / name)
        body = plain((tiny / name / "plan.json").read_text(encoding="utf-8"))
        bodies.append((body, (tiny / name / "day.html").read_text(encoding="utf-8")))
    assert bodies[0] == bodies[1]


def test_a_full_disk_leaves_the_earlier_plan(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tiny / "out"
    run("plan", tiny, "--out", out)
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    synced = os.fsync
    calls = iter(range(9))

    def second_fails(handle: int) -> None:
        if next(calls) == 1:
            raise OSError(28, "No space left on device")
        synced(handle)

    monkeypatch.setattr(os, "fsync", second_fails)
    change(tiny / "splits.csv", "later,1,five-frame,mated,3\n", "")
    done = run("plan", tiny, "--out", out)
    assert done.exit_code == cli.USAGE
    assert done.stderr.endswith(
        f"Cannot write into {out}: No space left on device. What was there before is unchanged.\n"
    )
    assert {p.name: p.read_bytes() for p in out.iterdir()} == before


def test_a_calendar_that_cannot_be_read_is_said_and_begun_anew(tiny: Path) -> None:
    (tiny / "out").mkdir()
    old = tiny / "out" / "followups.ics"
    old.write_bytes(b"no calendar")
    done = run("plan", tiny, "--out", tiny / "out")
    assert done.exit_code == cli.NOT_ALL
    assert f"warning: {old} cannot be read as a calendar: all its events count as new.\n" in done.stderr
    begun = old.read_bytes()
    assert begun.startswith(b"BEGIN:VCALENDAR")
    assert run("plan", tiny, "--out", tiny / "out").exit_code == cli.NOT_ALL
    assert old.read_bytes() == begun, "planned again the same, the calendar stays as it was"


def held(monkeypatch: pytest.MonkeyPatch, *paths: Path) -> None:
    """These files can be neither replaced nor removed: another program holds them open."""
    replaced = os.replace

    def replacing(source: str | Path, target: str | Path) -> None:
        if Path(target) in paths:
            raise PermissionError(13, "The file is open in another program")
        replaced(source, target)

    monkeypatch.setattr(os, "replace", replacing)


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_open_elsewhere_leaves_all_as_they_were(
    tiny: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    out = tiny / "out"
    run("plan", tiny, "--out", out)
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    change(tiny / "splits.csv", "later,1,five-frame,mated,3\n", "")
    held(monkeypatch, out / name)
    done = run("plan", tiny, "--out", out)
    assert done.exit_code == cli.USAGE
    assert done.stderr.endswith(
        f"Cannot write {out / name}: it is open in another program. Close it there and run this again. "
        "What was there before is unchanged.\n"
    )
    assert {p.name: p.read_bytes() for p in out.iterdir()} == before


def test_files_that_were_not_there_go_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "b").write_bytes(b"old")
    held(monkeypatch, tmp_path / "b")
    with pytest.raises(HeldError, match=r"^b is held"):
        write_whole(tmp_path, {"a": b"new", "b": b"new"})
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"b": b"old"}


def test_what_cannot_even_be_taken_back_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second file is held, and by then the first too."""
    for name in ("a", "b"):
        (tmp_path / name).write_bytes(b"old")
    replaced, calls = os.replace, iter(range(9))

    def only_once(source: str, target: str) -> None:
        if next(calls):
            raise PermissionError(13, "held")
        replaced(source, target)

    monkeypatch.setattr(os, "replace", only_once)
    with pytest.raises(PartlyWrittenError, match=r"^a of the new plan could not be taken back$"):
        write_whole(tmp_path, {"a": b"new", "b": b"new"})
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"a": b"new", "b": b"old"}


def test_a_folder_that_cannot_be_made(tiny: Path) -> None:
    (tiny / "notes").write_text("mine", encoding="utf-8")
    for out in (tiny / "notes", tiny / "notes" / "plan"):
        done = run("plan", tiny, "--out", out)
        assert done.exit_code == cli.USAGE
        assert f"Cannot write into {out}: " in done.stderr
    assert (tiny / "notes").read_text(encoding="utf-8") == "mine"


# --- as a program -----------------------------------------------------------------------------------------


def test_the_example_from_anywhere(tmp_path: Path) -> None:
    """In a folder with a space, a hash and accents, as in the README; all that is asked for is planned.

    What maps/example shows is a plan of the same tables, sound, and no proof of this run says that it is not
    possible.
    """
    folder = tmp_path / "Bienenstände #1 à côté"
    folder.mkdir()
    assert start("new", "März 15", "--example", folder=folder).returncode == 0
    done = start("plan", "März 15", folder=folder, PYTHONHASHSEED="1")
    assert done.returncode == 0, done.stderr.decode()
    out = folder / "März 15" / "plans" / "2027-05-15"
    assert sorted(p.name for p in out.iterdir()) == list(FILES)
    shown = start("audit", "März 15", EXAMPLE_PLAN, folder=folder)
    assert shown.returncode == 0, shown.stdout.decode()
    made, known = (from_json(p.read_text(encoding="utf-8")) for p in (out / "plan.json", EXAMPLE_PLAN))
    assert len(made.splits) == len(known.splits) == made.totals.asked
    assert made.proof.bound_s <= known.totals.counted_s
    assert known.proof.bound_s <= made.totals.counted_s


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_terminal_that_lacks_letters(tiny: Path, encoding: str) -> None:
    for name in ("yards.csv", "hives.csv", "pairs.csv"):
        path = tiny / name
        path.write_text(path.read_text(encoding="utf-8").replace("Cedar", "Кедр 🐝"), encoding="utf-8")
    change(tiny / "splits.csv", "later,", "später 🐝,")
    done = start("plan", tiny, PYTHONIOENCODING=f"{encoding}:strict", PYTHONUTF8="0")
    assert done.returncode == cli.NOT_ALL, done.stderr
    assert b"Traceback" not in done.stderr
    assert b"1 of order sp" in done.stderr
    assert (tiny / "plans" / "2027-05-15" / "day.html").exists()


@dataclass(frozen=True)
class Hard:
    """An operation that is not proved in seconds, and how long reading it takes."""

    folder: Path
    reading_s: float


@pytest.fixture(scope="module")
def hard(tmp_path_factory: pytest.TempPathFactory) -> Hard:
    folder = tmp_path_factory.mktemp("hard")
    write_tables(bench_operation(100, 1000, 30, 2, "small yards"), folder)
    began = time.monotonic()
    assert start("check", folder).returncode == 0
    return Hard(folder, time.monotonic() - began)


def audited(hard: Hard, out: Path) -> dict[str, Any]:
    """A plan that was written whole and breaks no rule."""
    assert sorted(p.name for p in out.iterdir()) == list(FILES)
    checked = start("audit", hard.folder, out / "plan.json")
    assert checked.returncode == 0, checked.stdout.decode()
    read: dict[str, Any] = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert read["splits"]
    return read


@pytest.mark.long
def test_the_time_asked_for_is_kept(hard: Hard, tmp_path: Path) -> None:
    """Planning ends within 2 s of the time asked for; starting and reading come on top."""
    began = time.monotonic()
    done = start("plan", hard.folder, "--seconds", "5", "--out", tmp_path / "out")
    spent_s = time.monotonic() - began
    assert done.returncode in (0, cli.NOT_ALL), done.stderr.decode()
    read = audited(hard, tmp_path / "out")
    assert spent_s <= 5 + 2 + hard.reading_s
    assert read["proof"]["bound_s"] <= read["proof"]["objective_s"]
    assert not read["run"]["stopped_early"]
    assert b"\r" not in done.stdout + done.stderr, "lines are rewritten on terminals only"
    assert any("search" in line for line in done.stderr.decode().splitlines()), "progress is told"


def test_ctrl_c_gives_the_best_plan_so_far(hard: Hard, tmp_path: Path) -> None:
    out = tmp_path / "out"
    asked = command("plan", hard.folder, "--out", out, "--seconds", "120")
    environment = os.environ | {"PYTHONPATH": str(TOP)}
    with subprocess.Popen(asked, stderr=subprocess.PIPE, stdout=subprocess.PIPE, env=environment) as running:
        assert running.stderr
        assert running.stdout
        for line in running.stderr:
            if b"best" in line and b"warning" not in line:
                break
        running.send_signal(signal.SIGINT)
        stopped_at = time.monotonic()
        rest = running.stderr.read().decode()
        said = running.stdout.read().decode()
        code = running.wait(timeout=60)
    assert "stopping with the best plan so far" in rest
    assert time.monotonic() - stopped_at < 10
    read = audited(hard, out)
    assert read["run"]["stopped_early"]
    assert code == (cli.NOT_ALL if read["unplaced"] else 0)
    assert said.startswith(f"{len(read['splits'])} splits · ")
