"""Plus codes (Open Location Code): full ones are read, short ones need a town and are not guessed."""

import re

from openlocationcode import openlocationcode

from routeplan.operation.degrees import METRES_A_DEGREE, plain
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.world import Place

LEAST_FIGURES = 8
CURE = "Write the full code, like 87Q64J2X+22: eight figures before the plus, two or more after it."

_LIKE_A_CODE = re.compile(r"[0-9CFGHJMPQRVWX]{2,8}\+[0-9CFGHJMPQRVWX]*(?=$|[ ,])")


def plus_code_place(text: str) -> tuple[Place, float] | None:
    """Read a full code as the middle of its cell and half the cell's height in metres.

    Returns None when the text is no code. Raises UnreadableError.
    """
    written = plain(text)
    start = _LIKE_A_CODE.match(written)
    if not start:
        return None
    code = start[0]
    if openlocationcode.isShort(code):
        raise UnreadableError(
            "is a short plus code, which needs a full code.", f"{CURE} No town is looked up."
        )
    if not openlocationcode.isFull(code) or code != written:
        raise UnreadableError("is not a full plus code.", CURE)
    area = openlocationcode.decode(code)
    if area.codeLength < LEAST_FIGURES:
        raise UnreadableError("is too coarse for the distance rule: its area is kilometres wide.", CURE)
    half_m = (area.latitudeHi - area.latitudeLo) / 2 * METRES_A_DEGREE
    return Place(area.latitudeCenter, area.longitudeCenter), half_m
