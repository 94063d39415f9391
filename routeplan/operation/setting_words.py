"""What each setting means, for the settings.toml of a new operation and for data/README.md."""

from dataclasses import fields

from routeplan.operation.settings import MILE_M, Settings
from routeplan.operation.toml_settings import SECTIONS, top_keys

MEANINGS: dict[str, tuple[str, str]] = {
    # key: (unit, meaning)
    "title": ("text", "heading of the day sheet"),
    "day": ("YYYY-MM-DD", "the day planned for; empty: today"),
    "zone": (
        "zone name",
        "time zone of the day for your calendar, like America/Toronto; empty: as the clock on the wall shows",
    ),
    "units": ("km or mi", "unit of the distances shown"),
    "temperature": ("celsius or fahrenheit", "unit of the temperatures shown"),
    "weight": ("kg or lb", "unit of the weights shown"),
    "minimum_distance": ("m, km or mi", "least flying distance from a split's old yard to its new one"),
    "season": (
        "word",
        "early spring, build-up or late season: fills keep_back, brood_per_donor and life_days",
    ),
    "frame": ("word", "frame format where a table leaves it blank"),
    "objective": ("minutes or money", "what is made least once as many splits as possible are placed"),
    "dearth": ("true or false", "no flow anywhere, but where a yard's own flow dates say so"),
    "stay_put": ("true or false", "name a yard where a split could stay, as a fallback, if it fits nowhere"),
    "date_order": (
        "day first or month first",
        "how dates like 4/5/2027 are meant where no date of their column tells; empty: asked",
    ),
    "keep_back.bees": ("frames", "bees a donor keeps"),
    "keep_back.brood": ("frames", "brood of all ages a donor keeps"),
    "keep_back.open": ("frames", "eggs and young larvae a donor keeps, part of its brood"),
    "keep_back.food": ("frames", "honey and pollen a donor keeps"),
    "parted.bees": (
        "frames",
        "bees that stay when the queen leaves, or when a hive is split in its own right",
    ),
    "parted.brood": ("frames", "brood that stays then"),
    "parted.open": ("frames", "eggs and young larvae that stay then"),
    "parted.food": ("frames", "honey and pollen that stay then"),
    "limits.brood_per_donor": ("frames", "most brood frames from one donor"),
    "limits.brood_per_strong_donor": (
        "frames",
        "most brood frames from one strong donor, not in early spring",
    ),
    "limits.strong_from_brood": ("frames", "a donor is strong from this much brood"),
    "limits.brood_share": ("share", "most of a donor's brood that leaves"),
    "limits.food_per_donor": ("frames", "most food frames from one donor"),
    "limits.shakes_per_donor": ("shakes", "most shakes from one donor"),
    "limits.donors_per_split": ("hives", "most donors of one split"),
    "limits.visits_per_yard": ("visits", "most visits to one yard in a day, 1 or 2"),
    "limits.count_warn_days": ("days", "a count older than this is named in a warning"),
    "limits.count_last_days": ("days", "a hive whose count is older than this gives nothing"),
    "limits.eggs_days": ("days", "eggs seen this many days before the day still serve to raise a queen"),
    "limits.cells_days": (
        "days",
        "a look for queen cells older than this is named, and its cells no longer serve",
    ),
    "limits.mites_per_100": ("mites per 100 bees", "above this no capped brood leaves: treat first"),
    "limits.own_queen_bees": ("frames", "least bees of a split that raises its own queen"),
    "limits.yards_per_split": (
        "yards",
        "1, or 2: a box may be begun in one yard and completed in another (pooling)",
    ),
    "limits.bare_brood_min": (
        "minutes",
        "longest ride of brood shaken free of bees, in a begun box, until hives are opened at the next yard",
    ),
    "limits.bare_brood_from_c": (
        "°C",
        "no brood rides without bees on a day whose warmest hour is below this",
    ),
    "bees.per_brood_frame": ("frames", "bees that ride on one brood frame"),
    "bees.per_food_frame": ("frames", "bees that ride on one food frame"),
    "bees.per_shake": ("frames", "bees that come in with one shake"),
    "bees.cover_over_brood": ("frames", "bees beyond its frames of brood a donor keeps to cover them"),
    "mixed.open_with_capped": ("frames", "open brood that leaves along with one capped frame"),
    "mixed.food_with_brood": ("frames", "food that leaves along with one brood frame"),
    "minutes.set_up_hives": ("minutes", "getting ready in a yard where hives are opened"),
    "minutes.leave_hives": ("minutes", "packing up where hives were opened"),
    "minutes.set_up_placing": ("minutes", "getting ready where splits are only placed"),
    "minutes.leave_placing": ("minutes", "packing up where splits were only placed"),
    "minutes.open_single": ("minutes", "opening and closing a single"),
    "minutes.box_lifted": ("minutes", "each further box or super lifted off and on"),
    "minutes.brood_look": ("minutes", "looking at the brood of a donor"),
    "minutes.frame": ("minutes", "a frame looked over, moved, a comb put back"),
    "minutes.shake": ("minutes", "one shake"),
    "minutes.make_up": ("minutes", "making up, closing and labelling a split"),
    "minutes.load": ("minutes", "loading a split"),
    "minutes.place": ("minutes", "placing, levelling and feeding a split"),
    "minutes.open_split": ("minutes", "opening a split on its new stand"),
    "minutes.queen_in": ("minutes", "putting a caged queen in"),
    "minutes.alone_factor": ("times", "how much longer one person needs than two"),
    "minutes.frame_queen_found": ("minutes", "a frame moved and a comb put back when the queen is found"),
    "minutes.shake_queen_found": ("minutes", "one shake when the queen is found"),
    "minutes.hunt_marked": ("minutes", "finding a marked queen"),
    "minutes.hunt_unmarked": ("minutes", "finding a queen that is not marked, in one box"),
    "minutes.hunt_unmarked_double": ("minutes", "finding a queen that is not marked, in two boxes or more"),
    "minutes.hunt_give_up": ("minutes", "after this the next standby is taken instead"),
    "minutes.excluder_first": (
        "minutes",
        "first pass at a single: opened, combs shaken free of bees and set above an excluder, closed",
    ),
    "minutes.excluder_second": ("minutes", "second pass: those combs and the excluder off, closed"),
    "minutes.fence": ("minutes", "setting up an electric fence"),
    "sure.look": ("true or false", "looking over each frame that leaves is enough to be sure of the queen"),
    "sure.hunt": ("true or false", "the queen may be found first instead"),
    "sure.supers": ("true or false", "bees may be shaken from supers above an excluder instead"),
    "excluder.allowed": (
        "true or false",
        "combs may be shaken free of bees, set above an excluder and collected at a second visit instead",
    ),
    "excluder.least_wait_min": ("minutes", "such combs stay above the excluder at least so long"),
    "excluder.most_wait_min": ("minutes", "and are collected at the latest so long after"),
    "swaps.food_comb": ("true or false", "combs of food from stock may stand in for food frames"),
    "swaps.feeder": ("true or false", "a feeder may stand in for the food frames of a split"),
    "swaps.mixed_open": ("true or false", "a mixed frame with eggs may stand in for an open frame"),
    "swaps.minutes": ("minutes", "counted against each swap"),
    "later.trips": ("trips", "looks at the splits of a yard that is not looked after anyway"),
    "later.feeding_trips": ("trips", "trips to feed the splits of such a yard where no flow does"),
    "later.few_splits": ("splits", "fewer in such a yard count against it"),
    "later.few_min": ("minutes", "counted for every split fewer"),
    "later.most_yards": ("yards", "more of such yards on one day count against the plan"),
    "later.over_min": ("minutes", "counted for every such yard more"),
    "later.robbing_min": ("minutes", "counted in a dearth for every strong hive beside splits"),
    "later.trips_by_queen": (
        "true or false",
        "the trips to look follow from how the splits there get their queens, in place of `later.trips`",
    ),
    "costs.currency": ("text", "how your money is written"),
    "costs.per_km": ("money", "a kilometre of road"),
    "costs.per_hour": ("money", "an hour of the crew"),
    "costs.queen": ("money", "a mated queen"),
    "costs.cell": ("money", "a ripe queen cell"),
    "costs.comb": ("money", "a comb or sheet from stock"),
    "costs.sugar_kg": ("money", "a kilogram of sugar"),
    "costs.sugar_per_split_kg": (
        "kg",
        "sugar for a split where no flow feeds it, in place of what the forecast says each needs",
    ),
    "queens.eggs_days": ("days", "from a young queen's hatching to her first eggs, on average (published)"),
    "queens.eggs_spread_days": ("days", "so much earlier or later is usual (from memory)"),
    "queens.lays_raise_own": (
        "share",
        "splits that raise their own queen and end with a laying one (from memory)",
    ),
    "queens.lays_ripe_cell": ("share", "the same with a ripe cell (published)"),
    "queens.lays_mated": ("share", "the same with a caged mated queen (published, as retold)"),
    "queens.lays_parents": ("share", "the same with the parent's queen (from memory)"),
    "queens.lays_own_cells": (
        "share",
        "the same from a cell of its own hive (worked out from published losses)",
    ),
    "year.drones_from": ("YYYY-MM-DD", "first day grown drones fly; empty: not known"),
    "year.drones_until": ("YYYY-MM-DD", "last day drones fly; empty: not known"),
    "year.last_split": ("YYYY-MM-DD", "last day you split; empty: none"),
    "year.first_frost": (
        "YYYY-MM-DD",
        "first hard frost: a split has bees of its own before; empty: not known",
    ),
    "year.winter": ("true or false", "false where no winter stops the bees: nothing is too late"),
    "drive.access_min": ("minutes", "on tracks and at gates, each drive"),
    "drive.detour": ("times", "road length over the straight line"),
    "drive.speed_kmh": ("km/h", "speed on the road"),
    "shut_in.screened": ("true or false", "whether the nuc boxes are screened"),
    "shut_in.screened_min": ("minutes", "longest shut in below 20, 25, 30 and 35 °C, the last one wetted"),
    "shut_in.warmest_c": ("degrees Celsius", "warmest hour of the day where no forecast is given"),
    "strength.cell_width_mm": ("mm", "width of a worker cell from wall to wall"),
    "strength.bees_per_cm2": ("bees", "bees on a cm² of a covered comb side: a single layer"),
    "strength.brood_fill": ("share", "cells of a frame of brood that hold brood"),
    "strength.honey_g_per_cm2": ("g", "honey in a cm² of a comb side full of it"),
    "strength.pollen_g_per_cm2": ("g", "pollen in a cm² of a comb side full of it"),
    "strength.pollen_share": ("share", "part of a food frame that is pollen"),
    "strength.combs_per_box": ("combs", "combs in one brood box"),
    "forecast.life_days": ("days", "how long a worker lives; the season fills it"),
    "forecast.egg_survival": ("share", "eggs that hatch"),
    "forecast.larva_survival": ("share", "open larvae that live to be capped"),
    "forecast.capped_survival": ("share", "capped cells that emerge"),
    "forecast.laying_per_day": ("eggs", "the most eggs a queen lays in a day"),
    "forecast.young_queen_days": ("days", "until a new queen lays at her full pace"),
    "forecast.care_per_day": ("eggs", "eggs a day that a very big colony cares for"),
    "forecast.care_half_bees": ("bees", "bees that care for half as many"),
    "forecast.recruit_per_day": ("share", "house bees that turn foragers in a day where there are none"),
    "forecast.recruit_less": ("share", "how much less where all bees are foragers"),
    "forecast.adult_food_g": ("g", "honey a bee eats in a day"),
    "forecast.larva_food_g": ("g", "honey an open larva takes in a day"),
    "forecast.forager_income_g": ("g", "honey a forager brings home on a day of flow"),
    "forecast.starved_per_day": ("share", "bees that die in a day where there is no food at all"),
    "forecast.foragers_on_frames": ("share", "foragers among the bees that ride on frames"),
    "forecast.lost_if_near": ("share", "bees of a split that fly home from a yard nearer than the minimum"),
    "forecast.crowded_brood": ("share", "room filled with brood from which a colony may swarm"),
    "forecast.counts_off": ("share", "frames judged by eye may be so much more or less"),
    "forecast.strong_bees": ("frames", "bees from which a split stands on its own"),
    "forecast.days": ("days", "how far the forecast looks"),
    "floors.act": (
        "warn or hold",
        "warn: name what falls below a floor; hold: make no plan in which it does",
    ),
    "floors.split_bees": ("bees", "fewest bees of a split, or of what must raise a queen"),
    "floors.donor_bees": ("bees", "fewest bees of a donor that keeps its queen"),
    "floors.sale_frames": ("frames", "frames of bees of a split on its day of sale"),
    "feed.reserve_kg": ("kg", "honey a colony never falls below; less is fed"),
    "feed.every_days": ("days", "from one feeding to the next, the splitting day first"),
    "feed.until_days": ("days", "how long after the splitting day feed is worked out"),
    "feed.sugar_per_honey": ("kg", "sugar that stands in for a kilogram of honey (from memory)"),
}


UNSAID = {"shut_in.warmest_c": "20.0", "costs.sugar_per_split_kg": "4.0"}
"""What stands in settings.toml, commented out, for settings that are not given unless somebody does."""


def setting_keys() -> list[str]:
    """Return every key of settings.toml, those in a section as section.key, in order."""
    settings = Settings()
    return [*top_keys(), *(f"{s}.{f.name}" for s in SECTIONS for f in fields(getattr(settings, s)))]


def default_text(key: str) -> str:
    """Return a setting's default as it is written in settings.toml."""
    if key == "minimum_distance":
        return f'"{Settings().minimum_distance_m / MILE_M:g} mi"'
    value: object = Settings()
    for part in key.split("."):
        value = getattr(value, part)
    if value is None:
        return UNSAID[key]
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return f"[{', '.join(str(v) for v in value)}]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def settings_text() -> str:
    """Return a settings.toml in which every setting stands commented out at its default."""
    lines = ["# Take away the # in front of a setting to change it; as they stand they are the defaults."]
    section = ""
    for key in setting_keys():
        group, _, name = key.rpartition(".")
        if group != section:
            section = group
            lines += ["", f"[{section}]"]
        unit, meaning = MEANINGS[key]
        lines.append(f"# {name} = {default_text(key)}  # {meaning} ({unit})")
    lines += ["", "# Your own words for how strong a hive is, for the column grade:", "# [grades.A]"]
    lines += ["# bees = 12.0", "# brood = 7.0", "# food = 3.0"]
    lines += ["", "# Your own headers, and what one of what stands under them counts:", "# [headers.hives]"]
    lines += ['# "Half frames of brood" = { column = "brood", each = 0.5 }']
    lines += ["", "# Your own codes, and what they stand for:", "# [codes.hives.temper]", '# 1 = "bad"']
    return "\n".join(lines) + "\n"
