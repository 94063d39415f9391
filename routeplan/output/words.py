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
    "food": "food",
    "shake": "shake",
    "brood": "brood",
    "bees": "bees",
}
"""Frame kinds as the crew reads them; only shakes are counted as such."""

QUEEN_HERE = {
    "marked": "Queen marked: see her; she stays.",
    "unmarked": "Queen not marked: look over each frame that leaves; she stays.",
    "unknown": "Queen not seen yet: look over each frame that leaves; if in doubt shake its bees back.",
    "queenless": "No queen in this hive.",
    "drone layer": "Drone-laying queen: no frames out.",
    "laying workers": "Laying workers: no frames out.",
}

QUEEN_WAY = {
    "raise own": "raises its own queen",
    "ripe cell": "gets a ripe cell",
    "mated": "gets a mated queen",
}

JOB = {
    "takes": "Take from its hives",
    "receives": "Place splits here",
    "both": "Take here and place splits",
    "idle": "Not visited today",
    "closed": "Closed today",
    "health": "Do not go: health not clear",
}

STANDBY = "If one disappoints, go on with {hives}. The same boxes are filled."
NO_STANDBY = (
    "No hive of this yard stands by: if one disappoints, its box stays short; take no more from the others."
)
NO_DATE = "no date"
YARD_FACTS = ("Gate", "Way in", "Hours", "Carry", "Note")
OPENS, CLOSES = "from {time}", "until {time}"
CARRY = "{minutes} min on foot each way"
DRIVE = "drive {time}, {distance}"
MAKE, PLACE = "make {boxes}", "place {boxes}"
PLACED_FROM = "from {yard}, {apart} away (at least {least})"
WORK = (
    "wait for the yard to open",
    "set up",
    "place boxes",
    "wait till hives may be opened",
    "hive work",
    "close, label, load",
    "pack up",
)
KEEP_RULE = {
    "most": "Never more than {brood} brood frames from one hive{strong}, never over {share} of its brood; "
    "{food} food and {shakes} shakes at most.",
    "strong": " ({most} from one with {least} or more)",
    "third": "a third",
    "leave": "Leave {brood} brood (of which {open} open), {bees} frames of bees, {food} food; "
    "{cover} frame of bees more than brood.",
}
FLAG = {"mother": "queen mother", "bad": "bad temper", "supers": "{supers} on"}
FROM_HIVE = "{kinds} from hive {hive}"
UP_TO = "hive {hive} (up to {kinds})"
STAYS = ("comb from home stays in it", "combs from home stay in it")
LABEL = {"box": "Box {box}", "from": "from {yard}, {hives}", "mother": "mother {mother}", "to": "to {yard}"}
HIVE_STEPS = (
    "Boxes in the shade, lids on; what stands in a box stays covered.",
    "One box finished before the next is begun.",
)
MOTHERS_FIRST = "Queen mothers first: {hives}."
BAD_TEMPERS_LAST = "Bad tempers last: {hives}."
CLOSE_STEPS = ("Combs pushed together, brood side by side; drawn comb next to it, foundation outside.",)

PLACE_STEPS = (
    "Stands out and level, entrances apart and facing different ways.",
    "All boxes on their stands, none opened yet.",
    "Feed inside each box, entrance reduced.",
)
CAGES_IN = "Mated queens in, caged, candy end free: {boxes}."
OPEN_LAST = "Open last, when all stand (about {time}); then leave them alone."

BEFORE = {
    "health": "Do not visit {yard}: health {health}. Nothing leaves it, nothing goes in.",
    "opens": "{yard} opens at {time}.",
    "closes": "Leave {yard} before it closes at {time}.",
    "queens": "{count} in the queen box: 20 to 30\u00a0°C, shade, never on the dashboard.",
    "cells": "{count} needed on {when}, the second trip; none today.",
    "missing": "{count} asked for not in the plan: see “What is not in the plan”.",
    "last_look": "Disease check: look at the brood of every hive that gives, before the first frame leaves.",
    "shut_in": "Splits may be shut in at most {minutes} today ({heat}).",
}
HEAT_STATED = "warmest hour {degrees}\u00a0°C"
HEAT_NOT_STATED = "no temperature given: taken as 20 to 25\u00a0°C"

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
    "R12": "queen and cell dates",
    "R13": "totals",
    "R14": "later looks",
}

LOOKS: dict[str, tuple[tuple[int, int, str], ...]] = {
    "raise own": (
        (7, 7, "count the queen cells, then close"),
        (15, 25, "leave closed: the queen flies to mate"),
        (28, 28, "eggs? if none, give a test frame"),
        (35, 35, "last call: no eggs, unite"),
        (42, 42, "own brood in all stages: ready to sell"),
    ),
    "ripe cell": (
        (1, 1, "second trip: ripe cell in"),
        (18, 21, "eggs?"),
        (30, 30, "own brood in all stages: ready to sell"),
    ),
    "mated": (
        (4, 4, "queen out of her cage?"),
        (10, 10, "eggs?"),
        (21, 25, "own brood in all stages: ready to sell"),
    ),
}
"""Days after the splitting day (from, to, what to look for), by the way to a queen; common practice."""
DONOR_LOOK = (5, 7, "eggs in each?")
HIVES_THAT_GAVE = "hives that gave"

LOAD = {
    "box": "Nuc box, {frame}, with floor and lid",
    "box remark": "each with {combs} combs, listed below",
    "drawn": "Drawn comb, {frame}",
    "drawn remark": "for the kits that need it",
    "comb": "Drawn comb or foundation, {frame}",
    "comb remark": "drawn first",
    "stock": "; at home: {drawn} drawn, {foundation} foundation",
    "queen": "Mated queen, caged",
    "queen remark": "{needed} needed, {spare} spare",
    "each": "one a split",
}
PACKING = (
    ("Smoker, dry fuel, lighter; water or an extinguisher beside it", None),
    ("Hive tools, one each and one spare", None),
    ("Veils and gloves for everyone, one spare veil", None),
    ("Spray bottle with clean water", None),
    ("Cover cloths for open boxes", None),
    ("Cage for a queen found, marking pen", None),
    ("Washing soda or flame for tools between yards", None),
    ("First aid box; prescribed allergy medicine with the person it is for", None),
    ("Drinking water, sun hats, charged phone", None),
)
"""What a crew packs besides what is counted; common practice."""
PER_SPLIT = (
    "Strap",
    "Entrance closer (screened)",
    "Stand",
    "Feeder, filled",
    "Entrance reducer",
    "Label",
)
"""One of each goes with every split; common practice."""
QUEENS_PER_SPARE = 8

CARE = (
    (
        "Stings and allergy",
        "Anyone may become allergic. Trouble breathing, swelling of face or throat, faintness: use "
        "the prescribed medicine and call the emergency number at once. Nobody works alone out of "
        "phone reach.",
    ),
    (
        "Lifting",
        "A full split box weighs about 9 to 14\u00a0kg, a full brood box much more. Over 20\u00a0kg two "
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
    "within": "Paid time {paid}; no plan with as many splits can take less than {bound}: within {gap} of "
    "the best possible, {part} of the part a plan can change.",
    "making": "{time} of it is making and placing the splits; no plan changes that.",
}
TOTALS = (
    "Driving",
    "Setting up and leaving yards",
    "Hive work",
    "Closing, labelling, loading",
    "Placing and opening splits",
    "Waiting",
    "Paid time in all",
    "Road",
    "Hives opened",
    "Frames taken",
)
NONE_POSSIBLE = "No split asked for can be placed on this day: proved."
NONE_FOUND = "No plan was found in the time given; that is no proof that there is none."
FOLDED = "Yards not visited are folded up: touch one to open it; what is folded is not printed."
HOME_STEPS = "Smoker out, tools and gloves cleaned, suits washed."
LOOKS_ARE = "Days counted from today, common practice; the weather and what is found decide."
BACKGROUND = "Background (needs signal)"
STRAIGHT_LINES = "Straight lines between the stops, not roads."
TIMES_ARE = "Times are planned, not promised; clock times are rounded to the minute."
