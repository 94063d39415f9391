"""Both passes of A2 on the day worked out by hand with an excluder: cards, load list, workbook, page."""

from routeplan.output import card_words, workbook
from routeplan.output.cards import cards
from routeplan.output.day import day_of
from routeplan.output.load import load
from routeplan.output.page import day_page
from tests.audit.edit import with_hive, with_settings, with_stop
from tests.audit.sound_excluder import two_passes
from tests.tiny import tiny_operation, tiny_plan

OPERATION, PLAN = two_passes()
DAY = day_of(OPERATION, PLAN)
FIRST, SECOND, *OTHERS = cards(DAY)


def test_the_first_pass_says_what_to_set_above_and_when_it_is_collected() -> None:
    (said,) = FIRST.first_passes
    assert said.hive == "A2"
    assert said.combs == "1 capped, 1 open, 1 food, and 2 combs of brood for the bees that are shaken in"
    assert said.steps == (
        *card_words.FIRST_PASS_STEPS[:2],
        "Closed at ____. Bees come up to the brood without the queen: collected at stop 2, not before 11:07 "
        "(60 min after closing the last hive of the first pass).",
    )
    assert "set combs above excluders in hive A2" in FIRST.job
    assert [h.name for h in FIRST.hives] == ["A1"]


def test_supers_go_back_on_top() -> None:
    (said,) = cards(day_of(with_hive(OPERATION, "A2", supers=1), PLAN))[0].first_passes
    assert said.steps[2] == "Supers back on top."


def test_the_second_pass_says_when_and_from_where() -> None:
    assert SECOND.first_passes == ()
    (a2,) = SECOND.hives
    assert a2.sure == (
        "Second pass, not before 11:07 (60 min above the excluder): the 5 combs set there at stop 1, with "
        "the bees that came up. Take and shake in from above the excluder only; the queen is below it. "
        "Excluder and box off, the other combs back.",
    )
    assert a2.check == "brood was clear at the first pass"
    assert ("wait till bees have come up", "32\xa0min") in SECOND.times  # 1890 s


def test_a_stop_where_combs_are_set_above_only() -> None:
    """Nothing leaves there, and what to do is still on its card."""
    bare = with_stop(PLAN, 1, opens=(), ways=(), takes=(), puts_back=(), makes=())
    card = cards(day_of(OPERATION, bare))[0]
    assert (card.job, len(card.first_passes), card.hives) == ("set combs above excluders in hive A2", 1, ())
    assert any(line.startswith("Never more than 2 brood frames from one hive") for line in card.rule)
    assert [kind for kind, _ in card.next] == ["capped", "open", "food", "shakes"]
    assert day_page(OPERATION, bare).count("Never more than 2 brood frames") == 3  # stops 1, 2 and 3


def test_a_bad_temper_and_a_dearth_are_said_at_the_first_pass() -> None:
    bad = with_settings(with_hive(OPERATION, "A2", temper="bad"), "", dearth=True)
    (said,) = cards(day_of(bad, PLAN))[0].first_passes
    assert said.flags == ("bad temper",)
    assert said.special == (card_words.BAD,)
    assert said.steps[-1] == card_words.DEARTH_HIVES


def test_excluders_and_boxes_are_packed() -> None:
    items = {i.what: i for part in load(DAY) for i in part.items}
    excluder, box = items["Queen excluder, deep"], items["Empty hive box, deep"]
    assert (excluder.count, box.count) == (1, 1)
    assert excluder.remark == "one for each hive worked in two passes: A2 at Acacia"
    plain = {i.what for part in load(day_of(tiny_operation(), tiny_plan())) for i in part.items}
    assert not {"Queen excluder, deep", "Empty hive box, deep"} & plain


def test_the_workbook_lists_first_passes_where_there_are_some() -> None:
    columns, rows = workbook.sheets(DAY)["First passes"]
    assert list(rows) == [(1, "Acacia", "A2", 5, 2, "11:07", None)]
    assert columns[-2:] == ("not before", "closed at")
    ways = {row[2]: row[5] for row in workbook.sheets(DAY)["Hive work"][1]}
    assert ways["A2"] == "second pass: from above the excluder"
    assert "First passes" not in workbook.sheets(day_of(tiny_operation(), tiny_plan()))


def test_the_page_shows_both_passes() -> None:
    html = day_page(OPERATION, PLAN)
    assert "First pass: above an excluder" in html
    assert "Second pass, not before 11:07" in html
