"""From frames and their tenths to bees, eggs, open larvae, capped cells, honey and pollen."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from routeplan.colony.formats import cells_per_cm2, comb_cm2
from routeplan.operation.colony_settings import Strength

Floats = NDArray[np.float64]

EGG_DAYS, LARVA_DAYS, CAPPED_DAYS = 3, 6, 12
"""Days of each stage of a worker; 21 in all (standard; of the workers of Fukuda and Sakagami 1968 nearly nine
in ten emerged within a day of that)."""

BEES_PER_KG = {"newly emerged": 9804.0, "mature": 11360.0, "full of honey": 7690.0, "drones": 4400.0}
"""Mitchell 1970, Am Bee J 110, as quoted on a beekeepers' list."""


@dataclass(frozen=True)
class FrameHolds:
    """What one whole frame of a format holds, both sides: bees, cells of brood, grams of honey, of pollen."""

    bees: float
    brood_cells: float
    honey_g: float
    pollen_g: float


@dataclass(frozen=True)
class Amounts:
    """Bees, cells and grams; each an array of the shape of the frames it was made from."""

    bees: Floats
    eggs: Floats
    larvae: Floats
    capped: Floats
    honey_g: Floats
    pollen_g: Floats


def frame_holds(frame: str, strength: Strength) -> FrameHolds:
    """Return what a frame of that format holds when it is full of one thing only."""
    both_cm2 = 2 * comb_cm2(frame)
    return FrameHolds(
        bees=both_cm2 * strength.bees_per_cm2,
        brood_cells=both_cm2 * cells_per_cm2(strength.cell_width_mm) * strength.brood_fill,
        honey_g=both_cm2 * strength.honey_g_per_cm2,
        pollen_g=both_cm2 * strength.pollen_g_per_cm2,
    )


def frame_of_bees(frame: str, strength: Strength) -> str:
    """Say what is meant by a frame of bees, for a person."""
    bees = round(frame_holds(frame, strength).bees, -1)
    return (
        f"A frame of bees is one comb covered on both sides by a single layer: {bees:,.0f} on {frame} frames."
    )


def amounts(
    bees: ArrayLike, capped: ArrayLike, open_: ArrayLike, food: ArrayLike, holds: FrameHolds, share: float
) -> Amounts:
    """Turn frames into bees, cells and grams.

    Parameters
    ----------
    bees, capped, open_, food : frames, any shape, the same for all. Open brood is shared 3 : 6 among eggs and
        larvae, by the days each stage lasts.
    share : part of a food frame that is pollen, 0 to 1.
    """
    frames = [np.asarray(x, dtype=float) for x in (bees, capped, open_, food)]
    cells = frames[2] * holds.brood_cells
    return Amounts(
        bees=frames[0] * holds.bees,
        eggs=cells * EGG_DAYS / (EGG_DAYS + LARVA_DAYS),
        larvae=cells * LARVA_DAYS / (EGG_DAYS + LARVA_DAYS),
        capped=frames[1] * holds.brood_cells,
        honey_g=frames[3] * holds.honey_g * (1 - share),
        pollen_g=frames[3] * holds.pollen_g * share,
    )


def tenths_of_sides(tenths: ArrayLike) -> Floats:
    """Turn sides looked at, in tenths covered, (..., sides), into frames: twenty tenths are one."""
    frames: Floats = np.asarray(tenths, dtype=float).sum(axis=-1) / 20.0
    return frames


def bees_of_kg(kg: float, state: str = "mature") -> float:
    """Return how many bees a weight is, by their state (a key of BEES_PER_KG)."""
    return kg * BEES_PER_KG[state]


def brood_flag(eggs: float, larvae: float, capped: float) -> str:
    """Say what brood far off 1 : 2 : 4 (eggs, larvae, capped) tells, "" when nothing.

    A queen that lays steadily keeps 3 : 6 : 12, the days of the stages. Any unit serves, the same for all.
    """
    if eggs + larvae + capped <= 0:
        return "no brood: look for the queen"
    if eggs <= 0 and larvae <= 0:
        return "only capped brood: no egg was laid for nine days or more, look for the queen"
    if eggs <= 0:
        return "no eggs: none was laid for three days or more, look for the queen"
    open_days, capped_days = (eggs + larvae) / (EGG_DAYS + LARVA_DAYS), capped / CAPPED_DAYS
    if capped_days > 2 * open_days:
        return "much more capped than open brood: laying is falling"
    if 2 * capped_days < open_days:
        return "much more open than capped brood: laying is rising"
    return ""
