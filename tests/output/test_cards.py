"""The cards of the stops: how to be sure of the queen, whose boxes, what next, what is placed and how.

The order of work in a yard and what is said at a hive are common practice.
"""

from dataclasses import replace

import pytest

from routeplan.operation.world import FrameLook, Operation
from routeplan.output import card_words, words
from routeplan.output.before import before
from routeplan.output.cards import Card, cards
from routeplan.output.day import day_of
from routeplan.output.hive_work import HiveWork
from routeplan.output.results import split_lines
from routeplan.plan import Plan
from tests.output import rich, sample

PLAN = rich.rich_plan()


def of(operation: Operation = rich.OPERATION, plan: Plan = PLAN) -> tuple[Card, ...]:
    return cards(day_of(operation, plan))


def at(name: str, operation: Operation = rich.OPERATION, plan: Plan = PLAN) -> HiveWork:
    return next(h for card in of(operation, plan) for h in card.hives if h.name == name)


def with_hive(name: str, **change: object) -> Operation:
    hives = tuple(replace(h, **change) if h.id == name else h for h in rich.HIVES)  # type: ignore[arg-type]
    return replace(rich.OPERATION, hives=hives)


def test_looking_over_each_frame() -> None:
    assert at("A1").sure == (
        "Look over both sides of each frame before it leaves (queen marked): she stays.",
    )
    assert at("B2").sure == (
        "Look over both sides of each frame before it leaves (queen not seen yet): she stays. In doubt shake "
        "its bees back into the hive. Shake bees only from frames looked over.",
    )


def test_frames_looked_at_one_by_one_are_named() -> None:
    looks = (
        FrameLook("Alder", "A1", 3, capped=18),
        FrameLook("Alder", "A1", 4, capped=12, emerging=True),
        FrameLook("Alder", "A1", 5, open=15),
        FrameLook("Alder", "A1", 6, open=9, eggs=True),
    )
    plain = [out.kinds for out in at("A1").outs]
    named = [out.kinds for out in at("A1", replace(rich.OPERATION, frames=looks)).outs]
    assert "capped 4, open with eggs 6" in named[0]
    assert "frames counted from one side" in named[0]
    assert [kinds.partition(" (")[0] for kinds in named] == plain


def test_bees_alone_are_shaken_from_frames_looked_over() -> None:
    stop = PLAN.stops[0]
    looked = replace(stop, ways=tuple((h, "look" if h == "A6" else way) for h, way in stop.ways))
    assert at("A6", plan=replace(PLAN, stops=(looked, *PLAN.stops[1:]))).sure == (
        "Look over both sides of each frame before its bees are shaken off (queen marked): she stays.",
    )


def test_finding_the_queen_first_with_a_time_to_give_up() -> None:
    assert at("B1").sure == (
        "Find the queen first (queen not marked) and keep her aside, caged or on a covered frame; then the "
        "frames need no second look. Put her back before closing.",
        "Not found after 15 min: close the hive and take the next one.",
    )
    shorter = replace(
        rich.OPERATION,
        settings=replace(
            rich.OPERATION.settings, minutes=replace(rich.OPERATION.settings.minutes, hunt_give_up=8.0)
        ),
    )
    assert at("B1", shorter).sure[1].startswith("Not found after 8 min:")


def test_a_queen_that_leaves_has_a_named_box_and_a_next_one() -> None:
    hive = at("A2")
    assert hive.sure == (
        "Find the queen first (queen marked): she goes into box 5; then the frames need no second look.",
        "Not found after 15 min: close the hive; the next for the queen is A8, then A4.",
    )
    assert hive.outs[0].kinds == "1 capped + 1 open + 1 food + 2 shakes + 1 queen"
    assert hive.outs[0].ticks == ("capped", "open", "food", "shake", "queen")
    assert hive.stays == (
        "It is left without its queen and raises a new one.",
        "At least so much stays: 6 frames of bees, 2 brood (of which 1 open, with eggs), 2 food.",
    )
    box = of()[0].made[4]
    assert box.label == "Box 5 · Sat 9 May · from Alder, hive A2 · queen of A2 · to Gorse"
    assert of()[0].close_steps[-1].startswith("Box with the parent's queen")
    assert "The queen of hive A2 at Alder goes along, in box 5." in before(day_of(rich.OPERATION, PLAN))


def test_without_another_queen_the_box_is_not_made() -> None:
    alone = replace(PLAN, standbys=tuple(row for row in PLAN.standbys if row.kind != "queen"))
    assert at("A2", plan=alone).sure[1].endswith("no other can give its queen, so box 5 is not made.")


def test_shaking_above_an_excluder() -> None:
    hive = at("A6")
    assert hive.sure[0].startswith("Open the supers only, above the excluder, and shake the bees there")
    assert hive.check == "brood was clear when last looked at"
    assert at("A1").check == "brood looked at, clear"
    assert hive.back == 0


def test_a_hive_without_a_queen() -> None:
    assert at("A5", with_hive("A5", queen="queenless")).sure == (
        "No queen in this hive: nothing to look for.",
    )


def test_a_hive_split_in_its_own_right_comes_first_and_is_not_mixed() -> None:
    hive, card = at("A5"), of()[0]
    assert card.hives[0] == hive
    assert hive.flags == ("split in its own right",)
    assert (
        hive.special[0] == "Split in its own right: its frames go into boxes 1–2 only, no other hive's go in."
    )
    assert hive.special[1].startswith("It has queen cells: one frame with a good cell into each box")
    assert hive.stays == (
        "At least so much stays: 6 frames of bees, 2 brood (of which 1 open, with eggs), 2 food.",
    )
    assert card.hive_steps == (
        "Boxes in the shade, lids on; what stands in a box stays covered.",
        "Hives split in their own right first, not mixed with others: hive A5.",
        "Then queen mothers: hive A1.",
        "One box finished before the next is begun.",
        "Bad tempers last: hive A3.",
    )


def test_the_order_said_is_the_order_planned() -> None:
    """First is only said of hives that do come first."""
    first = PLAN.stops[0]
    turned = replace(first, opens=("A1", "A5", *first.opens[2:]))
    steps = of(plan=replace(PLAN, stops=(turned, *PLAN.stops[1:])))[0].hive_steps
    assert "Hives split in their own right are not mixed with others: hive A5." in steps
    assert "Queen mothers first: hive A1." in steps
    bad_mother = of(with_hive("A1", temper="bad"))[0].hive_steps
    assert not [step for step in bad_mother if "mothers" in step]


def test_a_search_in_a_hive_of_its_own_ends_in_looking() -> None:
    """No other hive can stand in for it."""
    stops = (replace(PLAN.stops[0], ways=(("A5", "hunt"), *PLAN.stops[0].ways[1:])), *PLAN.stops[1:])
    said = at("A5", plan=replace(PLAN, stops=stops)).sure
    assert said[1] == "Not found after 15 min: look over each frame that leaves instead."


def test_bad_tempers_are_last_and_have_their_queen_checked() -> None:
    """Temper is a sign that something is wrong: case A6, common practice."""
    assert [h.name for h in of()[0].hives][-1] == "A3"
    assert at("A3").special == ("Bad temper: check its queen (eggs seen?), work it last.",)
    assert "bad temper" in at("A3").flags
    assert at("A1").special == (card_words.MIXED,)
    assert not any(card_words.BAD in h.special for card in of() for h in card.hives if h.name != "A3")


def test_mixed_frames_and_their_mother_are_said() -> None:
    assert [o.kinds for o in at("A1").outs] == ["1 capped + 1 open with eggs", "1 mixed with eggs"]
    assert "mother A1" in of()[0].made[3].label
    assert at("A1").flags == ("queen mother",)


def test_swaps_are_said_where_the_box_is_closed_and_where_it_is_fed() -> None:
    six, seven, eight = of()[1].made
    assert six.contents.endswith("1 comb of food from home instead of a food frame")
    assert seven.contents.endswith("feeder instead of food frames, filled at once on its new stand")
    assert "food from home" not in eight.contents
    assert (six.stays, seven.stays, eight.stays) == (
        "1 comb from home stays in it",
        "1 comb from home stays in it",
        "2 combs from home stay in it",
    )
    assert "No food frame inside: feeder filled at once: box 7." in of()[3].place_steps
    held = [line.contents for line in split_lines(day_of(rich.OPERATION, PLAN))]
    assert held[5] == "2 capped, 1 open, 2 shakes, 1 comb of food from home instead of a food frame, 1 drawn"


def test_next_if_one_disappoints() -> None:
    """Case A4: the next hives by kind, each with how many it could give."""
    first, second = of()[:2]
    assert first.next[0] == ("capped", "A8 (3), A4 (3), A6 (3), A2 (1), A3 (2)")
    assert dict(first.next)["open with eggs"] == "none"
    assert dict(second.next) == {
        "capped": "B3 (1)",
        "open": "B3 (1)",
        "food": "B1 (2), B2 (2), B3 (1)",
        "shakes": "none",
    }
    assert (first.none_next, second.none_next, of()[3].none_next) == (True, True, False)
    assert of(plan=replace(PLAN, standbys=()))[0].next == ()


def test_the_rule_on_sight_is_the_plan_s_own() -> None:
    first = of()[0]
    assert (
        first.rule[1] == "Hives in this order: A5, A1, A2, A6, A3; then, if they are not enough, A8, A4, A7."
    )
    strict = replace(PLAN.take_rules[0], most_brood=1, most_strong=1, keeps=(("bees", 9.0), ("brood", 6.5)))
    rule = of(plan=replace(PLAN, take_rules=(strict, *PLAN.take_rules[1:])))[0].rule[0]
    assert rule.startswith("Never more than 1 brood frames from one hive, never over a third")
    assert "Leave 6.5 brood (of which 1 open), 9 frames of bees, 2 food" in rule
    without = of(plan=replace(PLAN, take_rules=()))[0]
    assert len(without.rule) == 1


def test_a_fence_comes_before_anything_is_placed() -> None:
    third = of()[2]
    assert third.job.startswith("set up the fence · place boxes 3–5")
    assert third.fence.startswith("Electric fence first (45\u00a0min):")
    assert ("set up the fence", "45\u00a0min") in third.times
    assert [card.fence for card in of() if card != third] == ["", "", ""]
    assert any(line.startswith("Fence kit aboard for Gorse") for line in before(day_of(rich.OPERATION, PLAN)))


def test_a_dearth_is_said_where_there_is_no_flow() -> None:
    assert card_words.DEARTH_PLACE in of()[2].place_steps
    assert card_words.DEARTH_PLACE not in of()[3].place_steps
    dry = replace(rich.OPERATION, settings=replace(rich.OPERATION.settings, dearth=True))
    assert of(dry)[0].hive_steps[-1] == card_words.DEARTH_HIVES
    assert card_words.DEARTH_PLACE in of(dry)[3].place_steps


def test_the_way_on_foot_is_said() -> None:
    """Case A18: a yard the truck cannot reach."""
    assert ("Carry", "1 min on foot each way") in of()[1].facts
    assert [name for name, _ in of()[0].facts] == ["Gate", "Hours"]


def test_queen_cells_ride_level_and_cages_go_in() -> None:
    assert "Queen cells inside: carry level, no knocks: boxes 1–2." in of()[1].place_steps
    assert of()[3].placed[2].queen == "gets a ripe cell on Sun 10 May"
    assert "Mated queens in, caged, candy end free: boxes 6–7." in of()[3].place_steps


def test_a_plain_day_says_nothing_of_all_this() -> None:
    said = repr(cards(day_of(sample.OPERATION, sample.plan_of())))
    for text in (
        "Find the queen",
        "supers only",
        "own right",
        "mixed",
        "food from home",
        "No flow",
        "Electric",
    ):
        assert text not in said, text


@pytest.mark.parametrize("kind", ["capped", "open", "eggs", "mixed", "food", "shake", "queen"])
def test_every_kind_has_its_word(kind: str) -> None:
    assert kind in words.KIND
