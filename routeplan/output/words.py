"""Words shown to a person; headings stand in the templates, column heads in the workbook.

Practice stated here is common practice unless a line says otherwise.
"""

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January February March April May June July August September October November December".split()  # noqa: SIM905
)

KIND = {
    "capped": "capped",
    "open": "open",
    "eggs": "open with eggs",
    "mixed": "mixed with eggs",
    "food": "food",
    "shake": "shake",
    "queen": "queen",
    "brood": "brood",
    "bees": "bees",
}
"""What leaves a hive as the crew reads it; a mixed frame stands in for an open one."""

QUEEN_WAY = {
    "raise own": "raises its own queen",
    "ripe cell": "gets a ripe cell",
    "mated": "gets a mated queen",
    "parent's": "has its parent's queen",
    "own cells": "raises its queen from a cell of its own hive",
}

JOB = {
    "takes": "Take from its hives",
    "receives": "Place splits here",
    "both": "Take here and place splits",
    "idle": "Not visited today",
    "closed": "Closed today",
    "health": "Do not go: health not clear",
}

FIRST_PASS = "set combs above excluders in {hives}"
MAKE, PLACE, FENCE = "make {boxes}", "place {boxes}", "set up the fence"
BEGIN, COMPLETE = "begin {boxes}", "complete {boxes}"
GIVE_BACK = "give back {boxes}: frames into the hives they came from"

BEFORE = {
    "health": "Do not visit {yard}: health {health}. Nothing leaves it, nothing goes in.",
    "opens": "{yard} opens at {time}.",
    "closes": "Leave {yard} before it closes at {time}.",
    "fence": "Fence kit aboard for {yards}: bears come there; the fence stands before a box is opened.",
    "parents": "The queen of hive {hive} at {yard} goes along, in box {box}.",
    "queens": "{count} in the queen box: {heat}, shade, never on the dashboard.",
    "cells": "{count} needed on {when}, the trip the day after; none today.",
    "missing": "{count} asked for not in the plan: see “What is not in the plan”.",
    "last_look": "Disease check: look at the brood of every hive that gives frames before the first leaves.",
    "shut_in": "Splits may be shut in at most {minutes} today ({heat}).",
}
QUEENS_KEPT_C = (20, 30)
"""How warm caged queens are carried (common practice)."""
HEAT_STATED = "warmest hour {degrees}"
HEAT_NOT_STATED = "no temperature given: taken as {degrees}"

RULE = {
    "R1": "what a hive must keep",
    "R2": "what goes into the box",
    "R3": "how many hives a box may come from, and frames from a hive",
    "R4": "health",
    "R5": "minimum flying distance",
    "R6": "room in the yards",
    "R7": "places on the truck",
    "R8": "hours of the day and of the yards",
    "R9": "minutes shut in",
    "R10": "splits asked for",
    "R11": "combs and boxes at home",
    "R12": "queens and cells at home, with their dates",
    "R13": "totals",
    "R14": "trips in the weeks after",
}

BOX_KG, LIFT_KG = (9, 14), 20
"""What a full split box weighs, and from what weight two people lift (common practice)."""
CARE = (
    (
        "Stings and allergy",
        "Anyone may become allergic. Trouble breathing, swelling of face or throat, faintness: use "
        "the prescribed medicine and call the emergency number at once. Nobody works alone out of "
        "phone reach.",
    ),
    (
        "Lifting",
        "A full split box weighs about {box}, a full brood box much more. Over {lift} two "
        "people lift. Knees, close to the body, a clear path.",
    ),
    (
        "Smoke and fire",
        "Clear the ground under the smoker, never leave it burning in grass or in the car, plug it "
        "and let it go out before driving. Keep to local fire bans.",
    ),
    (
        "Load and road",
        "Strap every box, entrances closed and screened, nothing loose. Keep within the vehicle's "
        "weight limit and the local rules for carrying bees.",
    ),
    (
        "Heat",
        "People: water, shade, breaks. Bees: shade or moving air, wet cloth over screens; boxes that "
        "smell sweet, roar or drip are opened where they stand.",
    ),
    (
        "Movement and disease law",
        "Local law on registration, inspection, permits and moving bees comes before this plan. "
        "Anything that looks like notifiable disease: stop, close up, call the bee inspector; nothing "
        "leaves that yard.",
    ),
    (
        "Who decides",
        "Local codes and licensed practice come first: medicines, treatments and diagnosis are for "
        "those licensed to give them. This sheet plans work; it does not replace judgement at the "
        "hive.",
    ),
)

SHARED = "Copy to pass on: positions, gate codes, ways in and notes are left out."
FOLDED = "Yards not visited are folded up: touch one to open it; what is folded is not printed."
HOME_STEPS = "Smoker out, tools and gloves cleaned, suits washed."
BACKGROUND = "Background (needs signal)"
STRAIGHT_LINES = "Straight lines between the stops, not roads."
TIMES_ARE = "Times are planned, not promised; clock times are rounded to the minute."
