"""The day sheet as text: what it says, that it needs nothing from outside, that no name becomes markup."""

import html
import json
import re
from dataclasses import replace

import pytest

from routeplan.operation.world import Operation
from routeplan.output.page import day_page
from routeplan.plan import Plan
from tests.output.many import many_splits
from tests.output.rich import OPERATION as RICH
from tests.output.rich import rich_plan
from tests.output.sample import BAD, HOSTILE, OPERATION, hostile, no_plan, plan_of
from tests.tiny import tiny_operation, tiny_plan

OUTSIDE = re.compile(r"""(?:src|href)\s*=\s*["']?\s*(?:https?:)?//|@import|url\(""", re.IGNORECASE)


@pytest.fixture(scope="module")
def page() -> str:
    return day_page(OPERATION, plan_of())


def visible(page: str) -> str:
    """Text of the page without scripts, styles and tags."""
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", body)).split())


def test_nothing_from_outside_is_needed(page: str) -> None:
    marked_up = re.sub(r"<script>.*?</script>", "", page, flags=re.DOTALL)
    assert OUTSIDE.findall(marked_up) == []
    assert re.findall(r"<(?:link|iframe|img|object|embed)\b", marked_up) == []


def test_the_policy_forbids_all_but_these_scripts(page: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    rules = dict(rule.split(" ", 1) for rule in html.unescape(policy[1]).split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["img-src"] == "https://tile.openstreetmap.org data:"
    assert rules["script-src"].count("'sha256-") == 3
    assert "unsafe" not in rules["script-src"]


def test_the_same_plan_gives_the_same_page(page: str) -> None:
    assert day_page(OPERATION, plan_of()) == page


def test_gate_codes_stand_on_their_stop_card_only(page: str) -> None:
    assert len(re.findall(r"\b4471\b", page)) == 1
    card = page[page.index('id="stop-1"') : page.index('id="stop-2"')]
    assert "4471" in card


def test_what_a_crew_must_find(page: str) -> None:
    text = visible(page)
    for words in (
        "Saturday 9 May 2026",
        "5 splits · 4 stops · 3 h 49 min · 56.9 km · within 1.2 % of the best possible",
        "Do not visit Quarry: health suspected.",
        "Alder 09:45–10:52",
        "1 capped + 1 open with eggs → box 1",
        "4 combs put back",
        "Closed on Saturdays: Mill",
        "Stopped by: what a hive must keep.",
        "Counts of 7 May are rolled forward 2 days.",
        "Stings and allergy",
        "local codes and licensed practice come first".capitalize(),
    ):
        assert words in text


def test_no_word_of_the_solver_and_no_inner_name(page: str) -> None:
    text = visible(page).lower()
    for word in ("optimal", "feasible", "objective", "bound", "solver", "cp-sat", "s1", "nan", "raise own"):
        assert not re.search(rf"\b{word}\b", text), word


def test_best_possible_is_said_when_proved() -> None:
    plan = plan_of()
    proved = replace(plan.proof, status="optimal", bound_s=plan.proof.objective_s)
    text = visible(day_page(OPERATION, replace(plan, proof=proved)))
    assert "· best possible" in text
    assert "comes to less in all (see “What counts”): proved" in text


@pytest.fixture(scope="module")
def full() -> str:
    return visible(day_page(RICH, rich_plan()))


SECTIONS = (
    "In the weeks after: 9 trips, 5 h 7 min in all",
    "Find the queen first (queen marked): she goes into box 5",
    "Split in its own right: its frames go into boxes 1–2 only",
    "with how much each could give; the same boxes are filled: capped A8 (3), A4 (3)",
    "Hives in this order: A5, A1, A2, A6, A3; then, if they are not enough, A8, A4, A7.",
    "1 mixed with eggs → box 4 taken ____",
    "Electric fence first (45 min)",
    "The weeks after Days counted from the splitting day",
    "Gorse boxes 3–5 3 trips to look and 2 to feed",
    "What would help To place what is missing",
    "What one more would save",
    "Other good plans",
    'To get it routeplan plan FOLDER --avoid "Heath"',
    "What counts Of all plans with as many splits the one is sought that comes to least.",
    "− Opening hives that were due anyway 15 min",
    "= Counted in all 11 h 45 min",
    "What it costs At 0.68 EUR a kilometre and 25.00 EUR an hour.",
    "By yard: the drive to it, the hours there, the trips after.",
    "A fallback, not a success",
)


@pytest.mark.parametrize("words", SECTIONS)
def test_all_that_a_plan_can_say_is_on_the_page(full: str, words: str) -> None:
    assert words in full


def test_what_a_plan_has_nothing_of_is_not_on_the_page() -> None:
    text = visible(day_page(OPERATION, replace(plan_of(), take_rules=(), standbys=())))
    for heading in (
        *("What would help", "Other good plans", "What it costs", "Next if one disappoints", "Hives in this"),
        *("counted against", "Electric fence", "Find the queen", "A fallback", "Opening hives that were due"),
    ):
        assert heading not in text
    nothing = visible(day_page(OPERATION, no_plan()))
    for heading in ("The weeks after", "Load before", "What counts", "Where the time goes"):
        assert heading not in nothing


def test_no_word_of_the_solver_on_the_full_page_either(full: str) -> None:
    for word in ("optimal", "feasible", "objective", "bound", "solver", "s1", "nan", "raise own"):
        assert not re.search(rf"\b{word}\b", full.lower()), word
    assert "own cells" not in full
    assert "parent's queen" in full


def test_texts_of_the_new_parts_stay_text() -> None:
    plan, names = rich_plan(), HOSTILE[:5]
    evil = replace(
        plan,
        changes=tuple(replace(c, sentence=BAD) for c in plan.changes),
        savings=tuple(replace(s, what=BAD) for s in plan.savings),
        alternatives=tuple(replace(a, differs=BAD) for a in plan.alternatives),
        cost=replace(plan.cost, currency=BAD) if plan.cost else None,
    )
    page = day_page(*hostile(RICH, evil, names))
    text = visible(page)
    for name in names:
        assert name in text
    assert text.count("alert(2)") > 50
    assert page.count("<script") == page.count("</script") == 5
    assert "<img" not in page
    assert "<b>x" not in page


def test_miles() -> None:
    text = visible(day_page(replace(OPERATION, settings=replace(OPERATION.settings, units="mi")), plan_of()))
    assert "4.06 mi, at least 3.00 mi" in text
    assert " km" not in text


def test_hostile_names_stay_text() -> None:
    page = day_page(*hostile())
    text = visible(page)
    for name in HOSTILE:
        assert name in text
    assert page.count("<script") == 5
    assert page.count("</script") == 5
    for mark in ("<img", "onerror=alert(1)>", "<b>x"):
        assert mark not in page.replace("onerror=alert(1)&gt;", "")


def test_map_texts_are_escaped_json() -> None:
    page = day_page(*hostile())
    found = re.search(r'id="map-texts">(.*?)</script>', page, flags=re.DOTALL)
    assert found is not None
    assert not set("<>&\u2028\u2029") & set(found[1])
    said = [line for lines in json.loads(found[1]) for line in lines]
    assert set(HOSTILE) <= set(said)


def test_a_day_without_a_plan_still_has_a_page() -> None:
    empty = replace(no_plan(), notes=())
    text = visible(day_page(OPERATION, empty))
    assert "No plan for this day" in text
    assert "can be placed on this day: proved" in text
    unproved = replace(empty, proof=replace(empty.proof, count_status="feasible"))
    assert "that is no proof that there is none" in visible(day_page(OPERATION, unproved))
    assert "Stopped by: what a hive must keep." in text


def test_the_day_worked_out_by_hand_has_a_page() -> None:
    operation, plan = tiny_operation(), tiny_plan()
    text = visible(day_page(operation, plan))
    for stop in plan.stops:
        assert stop.yard in text


def big() -> tuple[Operation, Plan]:
    """Twenty-five splits and 1,000 hives, by repeating the sample's."""
    operation, plan = OPERATION, plan_of()
    copies = [(n, "" if n == 0 else f"-{n}") for n in range(5)]
    splits = tuple(replace(s, id=f"{s.id}{c}") for _, c in copies for s in plan.splits)
    stops = tuple(
        replace(
            stop,
            makes=tuple(f"{s}{c}" for _, c in copies for s in stop.makes),
            places=tuple(f"{s}{c}" for _, c in copies for s in stop.places),
            opens=tuple(f"{h}{c}" for _, c in copies for h in stop.opens),
            takes=tuple(
                replace(t, hive=f"{t.hive}{c}", split=f"{t.split}{c}") for _, c in copies for t in stop.takes
            ),
            puts_back=tuple(replace(p, hive=f"{p.hive}{c}") for _, c in copies for p in stop.puts_back),
        )
        for stop in plan.stops
    )
    many = [f"-{n}" if n else "" for n in range(91)]
    hives = tuple(replace(h, id=f"{h.id}{c}") for h in operation.hives for c in many)
    lines = tuple(replace(h, hive=f"{h.hive}{c}", reason=f"{h.reason}{c}") for h in plan.hives for c in many)
    return replace(operation, hives=hives), replace(plan, splits=splits, stops=stops, hives=lines)


def test_a_page_for_300_splits_is_under_three_megabytes() -> None:
    page = day_page(*many_splits(300, 4000))
    assert page.count('<article class="split"><h3><span class="big">') >= 300
    assert len(page.encode()) < 3_000_000


def test_a_page_for_25_splits_is_under_a_megabyte() -> None:
    page = day_page(*big())
    assert page.count('<article class="split">') == 25
    assert len(page.encode()) < 1_000_000
