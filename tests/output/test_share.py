"""A copy to pass on: nothing in any file says where a yard is, how to get in, or whom to ring."""

import io
import re
import zipfile
from dataclasses import replace

import pytest

from routeplan.operation.world import Operation, Place
from routeplan.output.contents import plan_files
from routeplan.output.share import LEFT_OUT, without_contacts
from routeplan.plan import Plan
from tests.output.sample import OPERATION, YARDS, plan_of

SECRETS = ("0417-secret", "+1 613 555 0100", "ann@example.org", "Old Mill Lane", "hollow oak", "613 555 0199")
"""Gate code, owner's phone, mail, way in, note on a yard, phone on a hive; all invented."""


def private() -> tuple[Operation, Plan]:
    """The sample with positions to the metre and secrets wherever a person may write one."""
    yards = tuple(
        replace(
            y,
            place=Place(y.place.lat + 0.00317 * n, y.place.lon - 0.00713 * n),
            parking=Place(y.place.lat + 0.00217 * n, y.place.lon - 0.00613 * n),
            gate=SECRETS[0],
            access=SECRETS[3],
            note=f"{SECRETS[4]}, ring {SECRETS[1]}",
        )
        for n, y in enumerate(YARDS, 1)
    )
    title, crew = f"Increase, ring {SECRETS[1]}", f"Ann {SECRETS[2]}"
    operation = replace(
        OPERATION,
        yards=yards,
        hives=tuple(replace(h, note=f"ask {SECRETS[5]}") for h in OPERATION.hives),
        crew=replace(OPERATION.crew, name=crew, home=Place(52.21347, -1.47293)),
        settings=replace(OPERATION.settings, title=title),
    )
    return operation, replace(plan_of(operation), title=title, crew=crew)


def texts(files: dict[str, bytes]) -> dict[str, str]:
    """Every file as text; a workbook as its unpacked parts."""
    found = {}
    for name, content in files.items():
        if name.endswith(".xlsx"):
            with zipfile.ZipFile(io.BytesIO(content)) as book:
                found |= {f"{name}/{part}": book.read(part).decode() for part in book.namelist()}
        else:
            found[name] = content.decode()
    return {name: text.replace("\r\n ", "") for name, text in found.items()}


@pytest.fixture(scope="module")
def shared() -> dict[str, str]:
    return texts(plan_files(*private(), run={}, shared=True))


@pytest.fixture(scope="module")
def own() -> dict[str, str]:
    return texts(plan_files(*private(), run={}))


def test_files_about_positions_are_not_written(shared: dict[str, str], own: dict[str, str]) -> None:
    assert {"stops.gpx", "places.geojson"} < set(own)
    assert {name.split("/")[0] for name in shared} == {"plan.json", "day.html", "plan.xlsx", "followups.ics"}


@pytest.mark.parametrize("secret", SECRETS)
def test_no_secret_is_in_any_file(shared: dict[str, str], own: dict[str, str], secret: str) -> None:
    assert any(secret in text for text in own.values()), "the crew's own files do say it"
    assert [name for name, text in shared.items() if secret in text] == []


def near_a_position(text: str, operation: Operation) -> list[str]:
    """Numbers of a text that are a degree of some position to three decimals or more."""
    places = [p for y in operation.yards for p in (y.place, y.stop)] + [operation.crew.home]
    degrees = [abs(d) for p in places for d in (p.lat, p.lon)]
    numbers = re.findall(r"\d+\.\d{3,}", text)
    return [n for n in numbers if any(abs(float(n) - d) < 0.002 for d in degrees)]


def test_no_position_is_in_any_file(shared: dict[str, str], own: dict[str, str]) -> None:
    operation, _ = private()
    assert near_a_position(own["day.html"], operation)
    assert any(near_a_position(text, operation) for name, text in own.items() if "sheet1" in name)
    assert {name: found for name, text in shared.items() if (found := near_a_position(text, operation))} == {}
    assert not re.search("latitude|longitude|leaflet|openstreetmap", "".join(shared.values()), re.IGNORECASE)


def test_the_drawing_and_the_work_stay(shared: dict[str, str]) -> None:
    page = shared["day.html"]
    assert 'aria-label="Drawing of the day' in page
    assert "Copy to pass on: positions, gate codes, ways in and notes are left out." in page
    for words in ("Alder", "Birch", "into box", "box 1", "4.83"):
        assert words in page


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Spring increase 2026-05-09", "Spring increase 2026-05-09"),
        ("25 splits, round 2", "25 splits, round 2"),
        ("ring (613) 555-0100 now", f"ring {LEFT_OUT} now"),
        ("ann.lee@bees.example.org", LEFT_OUT),
        ("at 45.1000,-75.4000", f"at {LEFT_OUT},{LEFT_OUT}"),
    ],
)
def test_contacts_are_taken_out_of_headings(text: str, said: str) -> None:
    assert without_contacts(text) == said
