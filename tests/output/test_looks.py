"""The dated looks of a plan; days are common practice."""

from dataclasses import replace

from routeplan.operation.settings import Queens
from routeplan.output.day import day_of
from routeplan.output.later import weeks_after
from routeplan.output.looks import Look, first_look, looks, looks_of, trips_needed, when
from routeplan.plan import box_numbers
from tests.output import rich, sample

DAY = day_of(rich.OPERATION, rich.rich_plan())
SAMPLE = day_of(sample.OPERATION, sample.plan_of())


def test_looks_are_dated() -> None:
    """Days after the split from the table of checks: common practice."""
    said = [(when(sample.DAY, k), k.yard, k.who, k.what) for k in looks(SAMPLE)]
    assert said[0] == ("Sun 10 May", "Gorse", "box 3", "ripe cell in")
    assert ("Sat 16 May", "Birch", "box 1", "count the queen cells, then close") in said
    assert ("Sun 24 May to Wed 3 June", "Gorse", "box 2", "leave closed: the queen flies to mate") in said
    assert ("Sat 6 June", "Gorse", "box 2", "eggs?") in said
    assert [k.first for k in looks(SAMPLE)] == sorted(k.first for k in looks(SAMPLE))


def test_what_to_do_if_it_is_not_so_is_said() -> None:
    eggs = next(k for k in looks(SAMPLE) if k.first == 28 and k.kind == "look")
    assert eggs.words.startswith("eggs? If none: give a test frame of eggs and young larvae;")
    cells = next(k for k in looks(SAMPLE) if k.first == 7)
    assert cells.words.startswith("count the queen cells, then close. If none: give a comb")
    doubt = next(k for k in looks(SAMPLE) if k.kind == "doubt")
    assert doubt.what.startswith("only if in doubt: ")


def test_a_donor_whose_queen_left_is_looked_at_like_a_split_that_raises_its_own() -> None:
    alder = [(when(rich.DAY, k), k.who, k.what) for k in looks(DAY) if k.yard == "Alder"]
    assert alder[:3] == [
        ("Thu 14 May to Sat 16 May", "hives A1, A6 and A3", "eggs?"),
        ("Thu 14 May to Sat 16 May", "hive A5", "eggs?"),
        ("Sat 16 May", "hive A2", "count the queen cells, then close"),
    ]
    assert ("Sat 6 June", "hive A2", "eggs?") in alder
    hives = tuple(replace(h, queen="queenless") if h.id == "A5" else h for h in rich.HIVES)
    broken_up = day_of(replace(rich.OPERATION, hives=hives), rich.rich_plan())
    assert ("hives A5 and A2") in {k.who for k in looks(broken_up)}


def test_a_hive_split_in_its_own_right_is_looked_at_again() -> None:
    own = next(s for s in DAY.plan.splits if s.queen == "own cells")
    again = [k for k in looks(DAY) if k.yard == own.from_yard and own.donors[0] in k.who.split()[-1]]
    assert [(k.first, k.kind) for k in again] == [(5, "look"), (28, "doubt")]


def test_the_looks_of_a_plan_alone_are_those_of_the_sheet() -> None:
    alone = looks_of(DAY.plan, box_numbers(DAY.plan), Queens())
    assert alone == tuple(look for look in looks(DAY) if look.kind != "feed")


def test_the_next_look_is_never_to_leave_it_closed() -> None:
    assert first_look(DAY, "own cells") == "Wed 27 May to Sat 30 May: eggs?"
    assert first_look(DAY, "raise own") == "Sat 16 May: count the queen cells, then close"
    assert first_look(DAY, "ripe cell") == "Sun 10 May: ripe cell in"


def test_trips_that_are_not_counted_are_said() -> None:
    """A yard with every way to a queen needs more trips than the three counted."""
    many = tuple(Look(n, n, "Heath", "box 1", "eggs?") for n in (4, 7, 10, 18, 28))
    assert trips_needed(many) == 5
    assert trips_needed([*many, Look(35, 35, "Heath", "box 1", "last call", kind="doubt")]) == 5
    heath = next(y for y in weeks_after(DAY) if y.yard == "Heath")
    assert any("fall on" in line for line in heath.lines)
