"""How the colonies of a plan fare: what stands in them on the evening, half frames, dates, chances."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from routeplan.colony.outlook import outlook
from routeplan.colony.strength import frame_holds
from routeplan.operation.colony_settings import Floors
from routeplan.output import colonies, fares
from routeplan.output.colonies import look_ahead
from routeplan.output.day import day_of
from routeplan.output.forecast_said import HEADS, forecast_lines, short_dates
from routeplan.output.forecast_sheet import how_they_fare
from routeplan.output.page import day_page
from routeplan.output.split_weeks import split_weeks
from routeplan.output.told import told
from tests.output import rich, sample

DAY = day_of(sample.OPERATION, sample.plan_of())
NAMED = colonies.colonies(DAY)
FARES = {fare.colony.name: fare for fare in fares.fares(DAY)}
RICH = {fare.colony.name: fare for fare in fares.fares(day_of(rich.OPERATION, rich.rich_plan()))}


def test_what_leaves_the_hives_comes_into_the_boxes() -> None:
    """Frame by frame nothing appears and nothing is lost: hives before = hives after + boxes."""
    operation, plan = sample.OPERATION, sample.plan_of()
    opened = {(s.yard, h) for s in plan.stops for h in s.opens}
    before = sum(h.count.bees or 0.0 for h in operation.hives if h.key in opened)
    after = sum(n.half.content.bees * max(1, len(n.splits)) for n in NAMED)
    assert after == pytest.approx(before)
    kinds = ("capped", "open")
    now = sum(getattr(n.half.content, k) * max(1, len(n.splits)) for n in NAMED for k in kinds)
    stripped = replace(plan, stops=tuple(replace(s, takes=()) for s in plan.stops), splits=())
    untouched = colonies.colonies(day_of(operation, stripped))
    assert now == pytest.approx(sum(getattr(n.half.content, k) for n in untouched for k in kinds))


def test_a_three_frame_split_by_hand() -> None:
    """1 capped, 1 with eggs, 1 food, 2 shakes: 2 x 1 + 0.5 + 2 x 0.8 frames of bees; real combs are mixed."""
    holds = NAMED[0].half.content
    assert NAMED[0].name == "box 1"
    assert holds.bees == pytest.approx(4.1)
    assert (holds.capped, holds.open, holds.food) == pytest.approx((0.7, 1.1, 1.2))


def test_splits_alike_share_a_line() -> None:
    """A split like another in the same yard is not told twice; every split is told once."""
    boxes = [s for n in NAMED for s in n.splits]
    assert sorted(boxes) == sorted(s.id for s in DAY.plan.splits)
    two = sample.plan_of()
    twin = replace(two.splits[1], to_yard=two.splits[0].to_yard)
    day = day_of(sample.OPERATION, replace(two, splits=(two.splits[0], twin, *two.splits[2:])))
    assert colonies.colonies(day)[0].name == "boxes 1–2"


def test_a_hive_whose_queen_left_raises_one() -> None:
    left, stayed = RICH["hive A2 at Alder"], RICH["hive A1 at Alder"]
    assert left.colony.way == "raise own"
    assert left.colony.chance == pytest.approx(0.65)
    assert stayed.times is None
    assert stayed.colony.chance is None


def test_the_worst_is_worse_and_the_best_better() -> None:
    for fare in [*FARES.values(), *RICH.values()]:
        assert fare.low < fare.weakest <= fare.high
        assert fare.weakest <= fare.now + 1e-9
        assert fare.unfed <= fare.weakest + 1e-9


def test_one_that_raises_its_own_queen_gets_weaker_than_one_with_a_mated_queen() -> None:
    own, mated = FARES["box 1"], FARES["boxes 4–5"]
    assert own.weakest < mated.weakest
    assert own.weakest_day > 40  # its own bees come about seven weeks after (common practice)
    assert own.back_day is not None
    assert mated.back_day is not None
    assert mated.back_day < own.back_day


def test_strong_again_is_for_good() -> None:
    ahead = look_ahead(DAY, NAMED)
    for i, fare in enumerate(fares.fares_of(DAY, NAMED, ahead)):
        bees = frame_holds("deep", sample.OPERATION.settings.strength).bees
        adults = ahead.fed.adults[i] / bees
        if fare.back_day is not None:
            assert np.all(adults[fare.back_day :] >= fare.goal - 1e-6)
            assert fare.back_day == 0 or adults[fare.back_day - 1] < fare.goal


def test_halves() -> None:
    assert [fares.halves(x) for x in (0.0, 0.2, 0.25, 0.5, 0.74, 0.75, 2.5, 3.1)] == [
        "0", "0", "½", "½", "½", "1", "2½", "3",
    ]  # fmt: skip
    assert fares.half_range(1.9, 2.1) == "2"
    assert fares.half_range(1.4, 3.0) == "1½–3"


def test_dates_are_ranges() -> None:
    own = FARES["box 1"]
    assert own.times is not None
    assert fares.dates(DAY, own.times.eggs) == "Sat 30 May to Thu 11 June"
    assert fares.dates(DAY, None) == ""
    assert fares.weakest_words(DAY, own).startswith(fares.halves(own.weakest) + " frames of bees (")


def test_expected_living_splits() -> None:
    """Two raise their own (0.65), one cell (0.70), two mated (0.78)."""
    assert "About 3.6 of 5 splits will have a laying queen" in fares.expected_words(DAY)
    assert fares.expected_words(day_of(sample.OPERATION, sample.no_plan())) == ""


def test_the_table_has_a_line_for_every_colony() -> None:
    lines = forecast_lines(told(sample.OPERATION, sample.plan_of()))
    assert [cell in lines[0] for cell in HEADS] == [True] * len(HEADS)
    assert [line.split("  ")[0] for line in lines[1 : len(FARES) + 1]] == list(FARES)
    assert all("\u00a0" not in line for line in lines)
    assert any("A frame of bees is one comb" in line for line in lines)


def test_one_below_its_floor_is_said() -> None:
    settings = replace(sample.OPERATION.settings, floors=Floors(split_bees=7000.0, donor_bees=1000.0))
    day = day_of(replace(sample.OPERATION, settings=settings), sample.plan_of())
    low = {fare.colony.name: fare.is_low for fare in fares.fares(day)}
    assert low["box 1"]
    assert not any(is_low for name, is_low in low.items() if name.startswith("hive"))
    line = fares.weakest_words(day, fares.fares(day)[0])
    assert line.endswith(", less than the 3½ it should have")  # 7,000 bees of some 1,900 a frame
    lines = forecast_lines(told(day.operation, day.plan))
    assert any(line.startswith("Low: fewer than 7,000 bees in a split") for line in lines)
    assert " low" in lines[1]


def test_the_four_courses_are_those_worked_out_alone() -> None:
    halves, ways = [n.half for n in NAMED], [n.way for n in NAMED]
    together = outlook(halves, ways, sample.OPERATION.settings, DAY.plan.day)
    for i, (half, way) in enumerate(zip(halves, ways, strict=True)):
        alone = outlook([half], [way], sample.OPERATION.settings, DAY.plan.day)
        for name in ("fed", "unfed", "worst", "best"):
            one, all_ = getattr(alone, name), getattr(together, name)
            assert one.adults[0] == pytest.approx(all_.adults[i])
            assert one.trough_day[0] == all_.trough_day[i]
        assert alone.pressure[0] == together.pressure[i]


def test_the_sheet_says_each_split_s_weeks() -> None:
    weeks = split_weeks(DAY)
    assert set(weeks) == {s.id for s in DAY.plan.splits}
    own, page = weeks["s1"], day_page(sample.OPERATION, sample.plan_of())
    assert own.ready.startswith("from Sat 20 June")  # 42 days after (common practice)
    assert weeks["s4"].ready.startswith("from Sat 30 May")  # 21 days with a mated queen (common practice)
    for _, text in own.facts:
        assert text in page


def test_the_sheet_of_the_workbook_is_to_the_half_frame() -> None:
    columns, rows = how_they_fare(DAY)
    assert len(rows) == len(FARES)
    for name in ("weakest, frames", "at the least", "at the most"):
        assert all((2 * row[columns.index(name)]) % 1 == 0 for row in rows)  # type: ignore[operator]


def test_the_day_a_split_is_asked_for_stands_beside_the_day_it_is_ready() -> None:
    orders = tuple(replace(o, ready_by=date(2026, 7, 1)) if o.id == "own" else o for o in sample.ORDERS)
    weeks = split_weeks(day_of(replace(sample.OPERATION, orders=orders), sample.plan_of()))
    assert weeks["s1"].ready.endswith("; asked for by Wed 1 July")
    assert "asked for" not in weeks["s4"].ready


def test_short_dates() -> None:
    start = date(2026, 5, 9)
    said = [short_dates(start, span) for span in ((0, 0), (1.5, 3.2), (20, 30), None)]
    assert said == ["9 May", "10-13 May", "29 May-8 June", "–"]


def test_bees_of_a_split_that_stays_too_near_fly_home() -> None:
    """What the box loses its hives get back: no bee is lost, the box is weaker."""
    plan = sample.plan_of()
    first = replace(plan.splits[0], flying_m=400)
    day = day_of(sample.OPERATION, replace(plan, splits=(first, *plan.splits[1:])))
    near = {n.name: n for n in colonies.colonies(day)}
    far = {n.name: n for n in NAMED}
    lost = sample.OPERATION.settings.forecast.lost_if_near
    assert near["box 1"].half.content.bees == pytest.approx((1 - lost) * far["box 1"].half.content.bees)
    for named in (near, far):
        whole = sum(n.half.content.bees * max(1, len(n.splits)) for n in named.values())
        assert whole == pytest.approx(sum(h.count.bees or 0 for h in sample.HIVES if h.id in OPENED))
    assert fares.fares(day)[0].weakest < FARES["box 1"].weakest


OPENED = {h for s in sample.plan_of().stops for h in s.opens}


def test_a_hive_that_is_broken_up_is_gone_and_its_bees_are_in_its_boxes() -> None:
    plan = rich.rich_plan()
    own = [s for s in plan.splits if s.queen == "own cells"]
    yard, hive = own[0].from_yard, own[0].donors[0]
    orders = tuple(replace(o, break_up=o.id == own[0].order) for o in rich.ORDERS)
    before = {n.name: n for n in colonies.colonies(day_of(rich.OPERATION, plan))}
    after = {n.name: n for n in colonies.colonies(day_of(replace(rich.OPERATION, orders=orders), plan))}
    name = f"hive {hive} at {yard}"
    assert set(before) - set(after) == {name}
    gained = sum(
        after[n].half.content.bees - before[n].half.content.bees for n in after if n.startswith("box")
    )
    boxes = sum(len(after[n].splits) for n in after if after[n].half != before[n].half)
    left = before[name].half  # its field bees come back to an empty stand
    assert gained * boxes == pytest.approx(left.content.bees * (1 - left.foragers))
