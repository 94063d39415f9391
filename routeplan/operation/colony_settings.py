"""Numbers about bees and comb that a beekeeper may set: what a frame holds, and how a colony fares.

Every default names where it comes from. Names carry units: _mm, _cm2, _g grams, _days. Counts are frames.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Strength:
    """What one frame holds.

    `cell_width_mm`: 5.2 to 5.4 in common foundation; 5.37 makes 400 cells a dm² of one side, the figure of
    the Liebefeld estimates (from memory). `bees_per_cm2`: a single layer, 1,900 bees on both sides of a
    deep comb (Kauffeld, told by Burgett and Burikam 1985, J Econ Entomol 78:1154). `brood_fill`: cells of a
    frame of brood that hold brood (from memory). `honey_g_per_cm2`: a deep comb of 2.7 to 3.6 kg (common
    practice). `pollen_g_per_cm2`: from memory. `pollen_share`: part of a food frame that is pollen (common
    practice). `combs_per_box`: combs in one brood box.
    """

    cell_width_mm: float = 5.37
    bees_per_cm2: float = 1.08
    brood_fill: float = 0.85
    honey_g_per_cm2: float = 1.8
    pollen_g_per_cm2: float = 0.6
    pollen_share: float = 0.15
    combs_per_box: float = 10.0


@dataclass(frozen=True)
class Forecast:
    """How a colony fares from day to day.

    `life_days`: how long a worker lives; summer 15 to 38, spring 30 to 40, autumn 50 to 60 days (ranges
    told in Scientific Reports 9, 2019, article 40725); the season fills it. `egg_survival`,
    `larva_survival`, `capped_survival`: of 100 eggs 94.2 hatch, 86.4 are capped, 85.1 emerge in a warm nest
    (Fukuda and Sakagami 1968, Res Popul Ecol 10:31). `laying_per_day`: the most eggs a queen lays in a day
    (1,000 to 2,000 at the peak, common practice); `young_queen_days`: until a new queen lays at her full
    pace (from memory). `care_per_day`, `care_half_bees`: eggs a day a very big colony cares for, and the
    bees that care for half of that; the form is that of Khoury, Myerscough and Barron 2011, PLoS ONE
    6:e18491, who have 2,000 and 27,000; 9,000 is ours, so that colonies of 4,500 bees just cover what they
    rear. `recruit_per_day`, `recruit_less`: how fast house bees turn foragers, and how foragers hold them
    back (same paper). `adult_food_g`, `larva_food_g`, `forager_income_g`: honey a day eaten by a bee and by
    an open larva, and brought in by a forager in a flow (from memory). `starved_per_day`: bees that die a
    day where there is no food at all (from memory). `foragers_on_frames`: foragers among bees that ride on
    frames, and `lost_if_near`: share of a split's bees that fly home from a yard nearer than the minimum
    distance (both from memory). `crowded_brood`: share of the brood room that brood fills when a colony is
    about to swarm (from memory). `counts_off`: frames judged by eye may be so much more or less (from
    memory). `strong_bees`: frames of bees from which a split stands on its own (common practice). `days`:
    how far it looks.
    """

    life_days: float = 30.0
    egg_survival: float = 0.942
    larva_survival: float = 0.917
    capped_survival: float = 0.985
    laying_per_day: float = 1500.0
    young_queen_days: float = 14.0
    care_per_day: float = 2000.0
    care_half_bees: float = 9000.0
    recruit_per_day: float = 0.25
    recruit_less: float = 0.75
    adult_food_g: float = 0.007
    larva_food_g: float = 0.018
    forager_income_g: float = 0.1
    starved_per_day: float = 0.3
    foragers_on_frames: float = 0.15
    lost_if_near: float = 0.35
    crowded_brood: float = 0.6
    counts_off: float = 0.15
    strong_bees: float = 5.0
    days: int = 120


ACTS = ("warn", "hold")


@dataclass(frozen=True)
class Floors:
    """How few bees a half may come down to before its own new bees emerge, fed as needed.

    `act`: "warn" names what falls below, "hold" lets no plan do it. `split_bees`, `donor_bees`: of colonies
    of 2,300 to 35,000 bees those of 4,500 reared the most brood for each bee, and 9,000 was the best size
    on the whole (J. R. Harbo 1986, J Apic Res 25:22-29, abstract).
    `sale_frames`: frames of bees of a split ready to sell; the lapsed British Standard for a nucleus asks for
    four fully covered (as a club tells it).
    """

    act: str = "warn"
    split_bees: float = 4500.0
    donor_bees: float = 9000.0
    sale_frames: float = 4.0


@dataclass(frozen=True)
class Feed:
    """How colonies are fed where no flow does.

    `reserve_kg`: honey a colony never falls below, about a third of a deep frame (common practice).
    `every_days`: from one feeding to the next, `until_days`: how long after the splitting day.
    `sugar_per_honey`: sugar that stands in for a kilogram of honey (about four fifths of it is sugar; from
    memory).
    """

    reserve_kg: float = 1.0
    every_days: int = 14
    until_days: int = 56
    sugar_per_honey: float = 0.8


LIFE_DAYS = {"early spring": 35.0, "build-up": 30.0, "late season": 25.0}
"""How long a worker lives by the season's word, within the published ranges named above."""
