"""README.md, DEVELOPERS.md and .ci/run say what the code does; data/README.md is held in tests/operation."""

import json
import math
import re
import shutil
import subprocess
from pathlib import Path

import click
import pytest

from routeplan import cli

TOP = Path(__file__).parents[1]
README = (TOP / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
WRITTEN = ("plan.json", "day.html", "plan.xlsx", "stops.gpx", "places.geojson", "followups.ics")
COMMANDS = cli.main.commands


def blocks(text: str, language: str) -> list[str]:
    """Fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.M | re.S)


def table(text: str, head: str) -> list[list[str]]:
    """Rows of the table whose head starts so, cells without their spaces."""
    lines = iter(text.splitlines())
    for line in lines:
        if line.startswith(f"| {head} |"):
            break
    next(lines)
    rows = []
    for line in lines:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def ticked(text: str) -> list[str]:
    return re.findall(r"`([^`]+)`", text)


def test_the_readme_begins_with_the_job_in_one_paragraph() -> None:
    title, job, *rest = README.split("\n\n")
    assert title == "# routeplan"
    assert job.startswith("`routeplan` plans the splitting day of a beekeeper")
    assert rest[0].startswith("## ")


def test_the_readme_has_two_commands_of_one_line() -> None:
    first, second = blocks(README, "bash")
    assert first.count("\n") == second.count("\n") == 1
    assert first.rstrip().endswith("routeplan plan data/example --out maps/example")
    assert second.rstrip().endswith(".venv/bin/pytest")


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not installed")
def test_the_two_commands_can_be_read_by_bash_and_ci_runs_the_second() -> None:
    first, second = blocks(README, "bash")
    for one in (first, second):
        subprocess.run(["bash", "-n", "-c", one], check=True)
    said = subprocess.run(["bash", ".ci/run", "show"], cwd=TOP, check=True, capture_output=True, text=True)
    assert said.stdout == second
    assert "pytest" not in re.sub(r"\^\(.*\)==", "", (TOP / ".ci" / "run").read_text(encoding="utf-8"))


def test_every_command_is_shown_and_no_other() -> None:
    shown = [
        line.split()[1] for line in "".join(blocks(README, "text")).splitlines() if "bin/routeplan" in line
    ]
    assert sorted(shown) == sorted(COMMANDS)


def test_every_option_is_listed_and_no_other() -> None:
    listed = {
        (option.split()[0], command)
        for options, commands, _ in table(README, "option")
        for option in ticked(options)
        for command in ticked(commands) or ["all"]
    }
    real = {("--version", "all"), ("-h", "all"), ("--help", "all")}
    for name, command in COMMANDS.items():
        options = [p for p in command.params if isinstance(p, click.Option)]
        real |= {(text, name) for option in options for text in option.opts}
    assert listed == real


def test_exit_codes_are_those_of_the_code() -> None:
    rows = table(README, "exit code")
    codes = [0, cli.DATA_FAULT, cli.USAGE, cli.NOT_ALL, cli.NO_PLAN, cli.FAILED_AUDIT]
    assert [int(row[0]) for row in rows] == codes
    said = re.findall(r"(\d) ", (cli.__doc__ or "").split("Exit codes: ")[1])
    assert [int(code) for code in said] == codes


def test_the_example_s_output_is_the_plan_that_is_shown() -> None:
    plan = json.loads((TOP / "maps" / "example" / "plan.json").read_text(encoding="utf-8"))
    first, *said = next(b for b in blocks(README, "text") if "maps/example" in b).splitlines()
    wrote = [line for line in said if line.startswith("wrote ")]
    hours, minutes = divmod(round(plan["totals"]["paid_s"] / 60), 60)
    road_m = plan["totals"]["drive_m"]
    miles = f"{road_m / 1609.344:.1f}"
    proof = plan["proof"]
    assert proof["count_status"] == "optimal"
    gap = math.ceil(1000 * proof["gap"]) / 10
    good = "best possible" if proof["status"] == "optimal" else f"within {gap:.1f} % of the best possible"
    assert first.startswith(
        f"{len(plan['splits'])} splits · {len(plan['stops'])} stops · {hours} h {minutes} min · {miles} mi · "
        f"{good}"
    )
    assert wrote == [f"wrote maps/example/{name}" for name in WRITTEN]
    for line in wrote:
        assert (TOP / line.removeprefix("wrote ")).stat().st_size > 0


def test_every_file_of_the_package_has_its_line_in_its_room() -> None:
    listed = set()
    for room, text in re.findall(r"^### (routeplan/\S*)[^\n]*\n(.*?)(?=^##)", DEVELOPERS, re.M | re.S):
        for cell, meaning in table(text, "file"):
            assert meaning
            listed |= {room + name for name in ticked(cell)}
    real = {p.relative_to(TOP).as_posix() for p in (TOP / "routeplan").rglob("*.py")}
    assert listed == real


def test_files_named_in_the_documents_are_there() -> None:
    starts = (TOP, TOP / "routeplan", *(p for p in (TOP / "routeplan").iterdir() if p.is_dir()))
    named = [
        word
        for word in ticked(re.sub(r"```.*?```", "", README + DEVELOPERS, flags=re.S))
        if re.fullmatch(r"[\w./]+(\.(py|md|toml)|/)", word) and word not in ("settings.toml",)
    ]
    assert len(named) > 50
    missing = [w for w in named if not any((start / w).exists() for start in starts)]
    assert missing == []


def test_links_lead_somewhere() -> None:
    for page in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)]+)\)", page):
            assert (TOP / target).exists(), target
