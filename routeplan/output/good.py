"""How good the plan is: what is proved, where the time goes, and what counts."""

import math

from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.plan import Plan

QUALITY = {
    "none": "no plan",
    "best": "best possible",
    "within": "within {gap} of the best possible",
    "found": "best found; no more than {most} possible",
}
PROOF = {
    "all": "All that was asked for is in the plan: {asked}.",
    "most": "{placed} of {asked} asked for are in the plan; no plan for this day places more: proved.",
    "open": "{placed} of {asked} asked for are in the plan; more than {most} is proved impossible, "
    "more than {placed} is not.",
    "least": "No plan with {splits} takes less paid time: proved.",
    "least counted": "No plan with {splits} comes to less in all (see “What counts”): proved.",
    "within": "Paid time {paid}; no plan with as many splits can take less than {bound}: within {gap} of "
    "the best possible, {part} of the part a plan can change.",
    "within counted": "{paid} in all (see “What counts”); no plan with as many splits can come to less than "
    "{bound}: within {gap} of the best possible, {part} of the part a plan can change.",
    "making": "{time} of it is making and placing the splits; no plan changes that.",
}
NONE_POSSIBLE = "No split asked for can be placed on this day: proved."
NONE_FOUND = "No plan was found in the time given; that is no proof that there is none."
TOTALS = (
    "Driving",
    "Setting up and leaving yards",
    "Setting up fences",
    "Hive work",
    "Closing, labelling, loading",
    "Placing and opening splits",
    "Waiting",
)
PAID = "Paid time in all"
OTHERS = ("Road", "Hives opened", "Frames taken")
COUNTS_ARE = (
    "Of all plans with as many splits the one is sought that comes to least. Each line is rounded to the "
    "minute, so their sum may differ by a minute or two."
)
COUNTS = (
    ("", "Paid time today"),
    ("+", "Trips in the weeks after"),
    ("+", "Counted against: few splits, robbing, swaps, many yards"),
    ("−", "Opening hives that were due anyway"),
    ("+", "Road, its money as time"),
    ("+", "Queens, cells, combs and sugar, their money as time"),
    ("=", "Counted in all"),
)


def quality(plan: Plan) -> str:
    """Say in a few words how good the plan is; "best possible" only when both count and time are proved."""
    proof = plan.proof
    if not plan.stops:
        return QUALITY["none"]
    if proof.status == "optimal" and proof.count_status == "optimal":
        return QUALITY["best"]
    if proof.count_status != "optimal" and plan.totals.placed < plan.totals.asked:
        return QUALITY["found"].format(most=measures.counted(proof.most_splits, "split is", "splits are"))
    return QUALITY["within"].format(gap=per_cent(proof.gap))


def per_cent(share: float) -> str:
    """Write a share as a percentage with one decimal, rounded up so that it never promises too much."""
    return f"{math.ceil(round(share * 1000, 6)) / 10:.1f}{measures.HARD}%"


def only_paid(plan: Plan) -> bool:
    """Whether nothing but today's paid time counts."""
    t = plan.totals
    return not (t.later_s or t.against_s or t.due_s or t.road_s or t.stuff_s)


def proof_lines(plan: Plan) -> tuple[str, ...]:
    """Say what is proved and what is not."""
    proof, totals = plan.proof, plan.totals
    if not plan.stops:
        proved = proof.count_status == "optimal"
        return (NONE_POSSIBLE if proved else NONE_FOUND,)
    best, kind = measures.counted(totals.placed, "split"), "" if only_paid(plan) else " counted"
    if proof.status == "optimal":
        minutes = PROOF[f"least{kind}"].format(splits=best)
    else:
        minutes = PROOF[f"within{kind}"].format(
            paid=measures.span(proof.objective_s),
            bound=measures.span(proof.bound_s),
            gap=per_cent(proof.gap),
            part=per_cent(proof.gap_influenced),
        )
    return _count_line(plan), minutes, PROOF["making"].format(time=measures.span(proof.making_s))


def _count_line(plan: Plan) -> str:
    proof, totals = plan.proof, plan.totals
    asked = measures.counted(totals.asked, "split")
    if totals.placed == totals.asked:
        return PROOF["all"].format(asked=asked)
    say = "most" if proof.count_status == "optimal" else "open"
    return PROOF[say].format(placed=totals.placed, asked=asked, most=proof.most_splits)


def times(plan: Plan) -> tuple[tuple[str, int], ...]:
    """Return the seconds of each kind of work of the day; they make up the paid time."""
    t = plan.totals
    fences = sum(s.fence_s for s in plan.stops)
    seconds = (t.drive_s, t.yard_s, fences, t.hive_s, t.make_s, t.place_s, t.wait_s)
    named = zip(TOTALS, seconds, strict=True)
    return tuple((name, s) for name, s in named if s or name != "Setting up fences")


def totals(day: Day) -> tuple[tuple[tuple[str, str], ...], str, tuple[tuple[str, str], ...]]:
    """Return the paid time by kind of work, its sum, and the other sums of the day."""
    t = day.plan.totals
    others = (day.distance(t.drive_m), str(t.hives_opened), str(t.frames_taken))
    spent = tuple((name, measures.span(s)) for name, s in times(day.plan))
    return spent, measures.span(t.paid_s), tuple(zip(OTHERS, others, strict=True))


def counts(plan: Plan) -> tuple[tuple[str, str, int], ...]:
    """Return what counts as (sign, name, seconds), without parts of nothing; empty if only paid time does."""
    t = plan.totals
    if only_paid(plan):
        return ()
    parts = (t.paid_s, t.later_s, t.against_s, t.due_s, t.road_s, t.stuff_s, t.counted_s)
    return tuple((sign, name, s) for (sign, name), s in zip(COUNTS, parts, strict=True) if s)
