"""Words on the cards of the stops: what a crew does in a yard. All of it is common practice."""

TAKE_RULE = {
    "most": "Never more than {brood} brood frames from one hive{strong}, never over {share} of its brood; "
    "{food} food and {shakes} shakes at most.",
    "strong": " ({most} from one with {least} or more)",
    "third": "a third",
    "leave": "Leave {brood} brood (of which {open} open), {bees} frames of bees, {food} food; "
    "{cover} frame of bees more than brood.",
}
ORDER = "Hives in this order: {hives}."
THEN = "Hives in this order: {hives}; then, if they are not enough, {then}."
NEXT = "Next if one disappoints, with how much each could give; the same boxes are filled:"
NONE = "none"
NO_NEXT = "Where it says none, the box stays short: take no more from the others."
NO_DATE = "no date"
FRAMES_OF = "frames counted from one side: {frames}"

YARD_FACTS = ("Gate", "Way in", "Hours", "Carry", "Note")
OPENS, CLOSES = "from {time}", "until {time}"
CARRY = "{minutes} min on foot each way"
DRIVE = "drive {time}, {distance}"
WORK = (
    "wait for the yard to open",
    "set up",
    "set up the fence",
    "place boxes",
    "wait till hives may be opened",
    "hive work",
    "close, label, load",
    "pack up",
)

QUEEN_SEEN = {
    "marked": "queen marked",
    "unmarked": "queen not marked",
    "unknown": "queen not seen yet",
}
LOOK = "Look over both sides of each frame before it leaves ({queen}): she stays."
LOOK_SHAKEN = "Look over both sides of each frame before its bees are shaken off ({queen}): she stays."
DOUBT = "In doubt shake its bees back into the hive."
SHAKE_LOOKED = "Shake bees only from frames looked over."
NO_QUEEN = "No queen in this hive: nothing to look for."
HUNT = (
    "Find the queen first ({queen}) and keep her aside, caged or on a covered frame; then the frames need no "
    "second look. Put her back before closing."
)
HUNT_LEAVES = "Find the queen first ({queen}): she goes into {box}; then the frames need no second look."
GIVE_UP = "Not found after {minutes} min:"
GIVE_UP_NEXT = "close the hive and take the next one."
GIVE_UP_LOOK = "look over each frame that leaves instead."
GIVE_UP_QUEEN = "close the hive; the next for the queen is {hives}."
GIVE_UP_WHOLE = "close the hive and leave it whole today: {boxes} are not made."
GIVE_UP_NO_QUEEN = "close the hive; no other can give its queen, so {box} is not made."
SUPERS = (
    "Open the supers only, above the excluder, and shake the bees there: the queen is below it. "
    "Brood or eggs in a super: stop, she is above it."
)
ABOVE_FOR_BEES = "and {combs} of brood for the bees that are shaken in"
FIRST_PASS_STEPS = (
    "Find these combs; shake and brush every bee of them back into the hive, so that no queen is on them.",
    "Push the others together. An excluder over the brood, an empty box on it, these combs in its middle.",
    "Supers back on top.",
)
FIRST_PASS_NOTED = (
    "Closed at ____. Bees come up to the brood without the queen: collected at stop {stop}, not before "
    "{time} ({wait} min after closing the last hive of the first pass)."
)
SECOND_PASS = (
    "Second pass, not before {time} ({wait} min above the excluder): the {combs} set there at stop {stop}, "
    "with the bees that came up. Take and shake in from above the excluder only; the queen is below it. "
    "Excluder and box off, the other combs back."
)
CHECK_SECOND = "brood was clear at the first pass"
WAIT_ABOVE = "wait till bees have come up"
PARTED = (
    "At least so much stays: {bees} frames of bees, {brood} brood (of which {open} open, with eggs), "
    "{food} food."
)
BROKEN_UP = (
    "It is broken up: all its frames leave, no comb goes back. Shake the bees that are left into its boxes, "
    "shared evenly; food that no box needs goes home, closed. Take the empty hive away: its field bees stray "
    "to the hives beside it."
)
QUEEN_GONE = "It is left without its queen and raises a new one."
OWN_RIGHT = "Split in its own right: its frames go into {boxes} only, no other hive's go in."
CELLS = (
    "It has queen cells: one frame with a good cell into each box; never shake or knock a frame with cells."
)
BAD = "Bad temper: check its queen (eggs seen?), work it last."
MIXED = "A mixed frame has capped and open brood on it: see eggs before it leaves."
CHECK = "brood looked at, clear"
CHECK_SUPERS = "brood was clear when last looked at"
FLAG = {
    "mother": "queen mother",
    "own": "split in its own right",
    "bad": "bad temper",
    "supers": "{supers} on",
    "due": "due for inspection",
}

HIVE_STEPS = (
    "Boxes in the shade, lids on; what stands in a box stays covered.",
    "One box finished before the next is begun.",
)
OWN_RIGHT_FIRST = "Hives split in their own right first, not mixed with others: {hives}."
OWN_RIGHT_APART = "Hives split in their own right are not mixed with others: {hives}."
MOTHERS_FIRST = "Queen mothers first: {hives}."
MOTHERS_NEXT = "Then queen mothers: {hives}."
BAD_TEMPERS_LAST = "Bad tempers last: {hives}."
DEARTH_HIVES = "No flow here: no hive open longer than about 10 minutes, no food frame left out."

FROM_HIVE = "{kinds} from hive {hive}"
BARE = "without bees"
BARE_FRAMES = "{kinds} from hive {hive}, without bees"
BRUSH = (
    "Frames that go without bees: queen seen or not, every bee shaken or brushed back into its hive; look "
    "again at both sides, then into the closed box at once."
)
BEGUN = "begun: {contents} – to be completed at {yard}, stop {stop}"
BEGUN_BEFORE = "begun at {yard}: {contents}"
BEGUN_STEPS = (
    "A begun box gets its number and its label now, lid and straps on; it rides closed, out of the sun.",
    "It is not complete: no queen, cell or bees of another yard go in before its second yard.",
)
BEGUN_BARE_BROOD = (
    "Brood without bees inside, kept warm and covered: hives opened at {yard} within {minutes} ({boxes})."
)
STAYS = ("comb from home stays in it", "combs from home stay in it")
FOOD_COMB = (
    "{n} comb of food from home instead of a food frame",
    "{n} combs of food from home instead of food frames",
)
FEEDER = "feeder instead of food frames, filled at once on its new stand"
LABEL = {
    "box": "Box {box}",
    "from": "from {yard}, {hives}",
    "mother": "mother {mother}",
    "queen": "queen of {hive}",
    "to": "to {yard}",
}
CLOSE_STEPS = ("Combs pushed together, brood side by side; drawn comb next to it, foundation outside.",)
CLOSE_QUEEN = "Box with the parent's queen: see her in it, close it, write her on it."

PLACED_FROM = "from {yard}, {apart} away (at least {least})"
PLACED_BARE = "from {yard}, frames without bees"
FENCE_STEP = (
    "Electric fence first ({time}): posts, wires, earth rod, energiser on, tested, warning signs up, as its "
    "maker and local rules say. Boxes wait closed in the truck; nothing that smells of honey stays "
    "outside it."
)
PLACE_STEPS = (
    "Stands out and level, entrances apart and facing different ways.",
    "All boxes on their stands, none opened yet.",
    "Feed inside each box, entrance reduced.",
)
FEED_AT_ONCE = "No food frame inside: feeder filled at once: {boxes}."
DEARTH_PLACE = "No flow here: entrances as small as they go, feed at dusk, nothing sweet spilt or left open."
CELLS_LEVEL = "Queen cells inside: carry level, no knocks: {boxes}."
CAGES_IN = "Mated queens in, caged, candy end free: {boxes}."
CELL_ON = "gets a ripe cell on {day}"
OPEN_LAST = "Open last, when all stand (about {time}); then leave them alone."
