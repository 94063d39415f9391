"""What a day, a truck and a stock allow: never more, and what stopped the rest is named."""

import signal
import time
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from routeplan.cli import main
from routeplan.operation.settings import Limits, Settings
from routeplan.operation.world import Crew, Operation, Order, Place, Stock, Weather
from routeplan.plan import to_json
from tests.bench.tables import write_tables
from tests.cases.planned import most_aboard, planned, visits, why
from tests.planning.make import DAY, ONE, east, one_kit_hive, operation, yard


def asked(count: int) -> tuple[Order, ...]:
    """So many splits of one kit."""
    return (Order("A", count, ONE.name, "mated"),)


# --- the truck ----------------------------------------------------------------------------------------------


def hives_and_places(hives: int, places: int, nested: int, twice: bool = True) -> Operation:
    """So many hives of one yard give a split each; a crew of four with so many places."""
    return operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        tuple(one_kit_hive(f"{i:02d}", "Y") for i in range(hives)),
        asked(hives),
        crew=Crew("four", east(0.0), people=4, places=places, empties_per_place=nested),
        settings=Settings(minimum_distance_m=5000.0, limits=Limits(visits_per_yard=2 if twice else 1)),
    )


def test_empties_take_the_same_places() -> None:
    """24 places and empties that do not nest: 24 boxes leave home, never 30."""
    plan = planned(hives_and_places(30, 24, 1))
    assert len(plan.splits) == 24
    assert most_aboard(plan, 1) == 24
    assert (why(plan).rule, why(plan).count) == ("R7", 6)
    assert "truck" in why(plan).reason


@pytest.mark.parametrize(
    ("hives", "places", "nested"), [(8, 6, 2), pytest.param(30, 24, 4, marks=pytest.mark.long)]
)
def test_nested_empties_and_a_second_pass(hives: int, places: int, nested: int) -> None:
    """Two empties in a place: 4 full ones and 4 empties fill 6 places, the rest is made on a second pass."""
    plan = planned(hives_and_places(hives, places, nested))
    assert len(plan.splits) == hives
    assert visits(plan) == ["Y*", "Z", "Y*", "Z"]
    assert most_aboard(plan, nested) <= places


def test_without_a_second_pass_fewer() -> None:
    plan = planned(hives_and_places(8, 6, 2, twice=False))
    assert (len(plan.splits), most_aboard(plan, 2)) == (6, 6)
    assert (why(plan).rule, why(plan).count) == ("R7", 2)


def test_without_places_the_load_is_not_limited_and_that_is_said() -> None:
    one = hives_and_places(8, 6, 2)
    plan = planned(replace(one, crew=replace(one.crew, places=None)))
    assert (len(plan.splits), visits(plan)) == (8, ["Y*", "Z"])
    assert any("places" in note for note in plan.notes)


# --- combs and boxes at home --------------------------------------------------------------------------------


def three_splits(*stock: tuple[str, int]) -> Operation:
    """Three splits of five combs in a box, one of them drawn: 15 combs in all, 3 of them drawn."""
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        tuple(one_kit_hive(f"{i}", "Y") for i in range(3)),
        asked(3),
        stock=tuple(Stock(item, "deep", n) for item, n in stock),
    )
    assert (ONE.combs, ONE.drawn) == (5, 1)
    return one


@pytest.mark.parametrize(
    ("stock", "placed"),
    [
        ((("drawn comb", 3), ("foundation", 12)), 3),
        ((("drawn comb", 3), ("foundation", 11)), 2),  # 14 combs
        ((("drawn comb", 6), ("foundation", 4)), 2),  # 10 combs
        ((("drawn comb", 1), ("foundation", 50)), 1),
        ((("nuc box", 2),), 2),
        ((("nuc box", 3),), 3),
        ((("drawn comb", 30), ("nuc box", 0)), 0),
        ((), 3),  # nothing listed: nothing limited
    ],
)
def test_stock_at_home_binds_and_is_named(stock: tuple[tuple[str, int], ...], placed: int) -> None:
    plan = planned(three_splits(*stock))
    assert len(plan.splits) == placed
    assert plan.totals.frames_taken == 3 * placed
    assert [(u.rule, u.count) for u in plan.unplaced] == ([("R11", 3 - placed)] if placed < 3 else [])


def test_combs_of_another_format_do_not_help() -> None:
    one = three_splits(("drawn comb", 5))
    plan = planned(replace(one, stock=(*one.stock, Stock("foundation", "medium", 99))))
    assert len(plan.splits) == 1
    assert why(plan).rule == "R11"


# --- the day ------------------------------------------------------------------------------------------------


def four_hours() -> Operation:
    """Home, Y 10 km and Z 101.15 km east: 2820 s + 156 s a km = 18 600 s, 5 h 10, in a day of 4 h."""
    crew = Crew("pair", east(0.0), start_min=540, end_min=780, hives_from_min=540, hives_until_min=780)
    return operation(
        (yard("Y", 10.0, room=0), yard("Z", 101.15)), (one_kit_hive("H", "Y"),), asked(1), crew=crew
    )


def run_plan(one: Operation, folder: Path) -> Result:
    """Plan the tables of an operation from the command line, into the folder `out`."""
    write_tables(one, folder / "day")
    handler = signal.getsignal(signal.SIGINT)
    try:
        return CliRunner().invoke(main, ["plan", str(folder / "day"), "--out", str(folder / "out")])
    finally:
        signal.signal(signal.SIGINT, handler)


def test_a_day_too_short_names_limit_shortfall_and_yard() -> None:
    plan = planned(four_hours())
    assert (plan.stops, plan.proof.status) == ((), "none")
    line = why(plan)
    assert line.rule == "R8"
    for said in ("4 h 00", "5 h 10", "1 h 10", "Z"):
        assert said in line.reason
    long = replace(four_hours(), crew=replace(four_hours().crew, end_min=540 + 310))
    assert planned(long).totals.paid_s == 18_600


def test_a_day_too_short_says_so_on_the_command_line(tmp_path: Path) -> None:
    done = run_plan(four_hours(), tmp_path)
    assert done.exit_code == 4
    assert "1 h 10 too long" in done.output


def test_a_day_too_short_writes_nothing(tmp_path: Path) -> None:
    done = run_plan(four_hours(), tmp_path)
    assert done.exit_code == 4
    assert not (tmp_path / "out").exists()


def six_yards(end_min: int) -> Operation:
    """A donor yard, four yards within 40 km and one 140 km off; a split is fixed to each of the five."""
    near = {"B": (10.0, 12.0), "C": (20.0, -8.0), "D": (25.0, 10.0), "E": (8.0, -15.0)}
    yards = [yard("A", 5.0, room=0)]
    yards += [
        replace(yard(n, x), place=Place(km_north / 111.0, east(x).lon)) for n, (x, km_north) in near.items()
    ]
    yards.append(yard("Away", 140.0))
    names = [*near, "Away"]
    return operation(
        tuple(yards),
        tuple(one_kit_hive(f"{i}", "A") for i in range(5)),
        tuple(Order(f"for {n}", 1, ONE.name, "mated", to_yard=n) for n in names),
        crew=Crew("pair", east(0.0), end_min=end_min, places=10),
        weather=(Weather(DAY, None, 15.0),),  # cool: boxes may be shut in for six hours
    )


@pytest.mark.parametrize("end_min", [20 * 60, 14 * 60])
def test_no_yard_is_quietly_left_out(end_min: int) -> None:
    plan = planned(six_yards(end_min))
    placed_at = {s.to_yard for s in plan.splits}
    listed = {u.order.removeprefix("for ") for u in plan.unplaced}
    assert placed_at | listed == {"B", "C", "D", "E", "Away"}
    assert placed_at & listed == set()
    assert ("Away" in placed_at) == (end_min == 20 * 60)
    assert all(u.reason for u in plan.unplaced)
    assert len(plan.splits) == (5 if end_min == 20 * 60 else 4)


def nine_yards() -> Operation:
    """Eight donor yards that give one split each, and one yard with room in their middle."""
    ring = [(9, 2), (4, 9), (-5, 8), (-9, 1), (-7, -8), (1, -9), (8, -7), (12, 9)]
    places = {f"D{i}": Place(n / 111.0, east(e).lon) for i, (e, n) in enumerate(ring)}
    yards = [replace(yard(name, 0.0, room=0), place=place) for name, place in places.items()]
    return operation(
        (*yards, yard("Middle", 0.5)),
        tuple(one_kit_hive("1", name) for name in places),
        asked(8),
        crew=Crew("pair", Place(0.01, 20.0)),
        settings=Settings(minimum_distance_m=4000.0),
    )


def test_nine_yards_are_solved_at_once_and_the_same_every_time() -> None:
    began = time.process_time()
    plan = planned(nine_yards())
    assert time.process_time() - began < 10.0
    assert plan.proof.status == "optimal"
    assert {s.yard for s in plan.stops} == {y.id for y in nine_yards().yards}
    assert to_json(planned(nine_yards())) == to_json(plan)
