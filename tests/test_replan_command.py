"""The command that plans the rest of a day again, on the day at the equator."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from routeplan import cli
from routeplan.plan import from_json, to_json
from tests.field.test_state import HEAD, row
from tests.tiny import tiny_plan

SOURCE = Path(__file__).parent / "data" / "tiny"


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "plan.json"
    path.write_text(to_json(tiny_plan()), encoding="utf-8")
    return path


def notes(folder: Path, *rows: str) -> Path:
    path = folder / "notes.csv"
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(cli.main, [str(w) for w in words])


def test_a_locked_gate(plan: Path, tmp_path: Path) -> None:
    """One order was short before, one is now: code 3. The old files stay as they are."""
    rows = (row(at="10:33", stop=1, what="left"), row(stop=2, what="could_not", reason="gate locked"))
    before = plan.read_bytes()
    result = run("replan", SOURCE, plan, notes(tmp_path, *rows))
    assert result.exit_code == cli.NOT_ALL, result.output
    assert "Borehole is left out: gate locked." in result.output
    assert "Boxes 1 and 2 go to Cedar in place of Borehole." in result.output
    assert plan.read_bytes() == before
    new = from_json((tmp_path / "again-1033" / "plan.json").read_text(encoding="utf-8"))
    assert new.done is not None
    assert new.done.plan == tiny_plan().id
    assert (tmp_path / "again-1033" / "day.html").exists()


def test_the_new_plan_is_audited_with_the_notes_it_was_made_from(plan: Path, tmp_path: Path) -> None:
    rows = (
        row(at="10:33", stop=1, what="left"),
        row(yard="Acacia", hive="A3", what="found", health="suspect"),
    )
    file = notes(tmp_path, *rows)
    assert run("replan", SOURCE, plan, file, "--out", tmp_path / "new").exit_code == cli.NOT_ALL
    new = tmp_path / "new" / "plan.json"
    assert run("audit", SOURCE, new, file).exit_code == 0
    told = json.loads(new.read_text(encoding="utf-8"))
    told["done"]["kept"] = []
    new.write_text(json.dumps(told), encoding="utf-8")
    result = run("audit", SOURCE, new, file)
    assert result.exit_code == cli.FAILED_AUDIT
    assert "health is in doubt" in result.output


def test_notes_that_cannot_be_read_or_do_not_fit(plan: Path, tmp_path: Path) -> None:
    for bad, said in ((row(stop=1, what="lefft"), "row 2"), (row(stop=9, what="left"), "no stop 9")):
        result = run("replan", SOURCE, plan, notes(tmp_path, bad))
        assert result.exit_code == cli.DATA_FAULT
        assert said in result.output
    assert sorted(p.name for p in tmp_path.iterdir()) == ["notes.csv", "plan.json"]


def test_the_stop_and_the_time_may_be_given(plan: Path, tmp_path: Path) -> None:
    file = notes(tmp_path, row(stop=1, what="note", note="slow"))
    result = run("replan", SOURCE, plan, file, "--from", 1, "--at", "11:00")
    assert result.exit_code == cli.NOT_ALL, result.output
    assert "Planned again from 11:00" in result.output
    assert (tmp_path / "again-1100" / "plan.json").exists()


def test_nothing_made_and_nothing_possible(plan: Path, tmp_path: Path) -> None:
    rows = [row(stop=n, what="could_not", reason="flooded") for n in (1, 2, 3)]
    result = run("replan", SOURCE, plan, notes(tmp_path, *rows), "--at", "10:00")
    assert result.exit_code == cli.NO_PLAN, result.output
    assert "Nothing was written." in result.output
    assert sorted(p.name for p in tmp_path.iterdir()) == ["notes.csv", "plan.json"]
