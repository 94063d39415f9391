"""Positions in links: geo: links (RFC 5870) and links to a map that carry a pin. No link is ever opened."""

import re
from collections.abc import Iterator
from urllib.parse import parse_qsl, unquote, unquote_plus, urlsplit

from routeplan.operation.degrees import one, plain, two
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.world import Place

CURE = "Open it, and copy the numbers of the pin: latitude, comma, longitude."
MIDDLE = "is the middle of a map, not a pin."
_DECIMAL = r"[+-]?[0-9]{1,3}(?:\.[0-9]+)?"
_PAIR = rf"({_DECIMAL})[, ~]+({_DECIMAL})"
_GEO = re.compile(rf"({_DECIMAL}),({_DECIMAL})(?:,{_DECIMAL})?")
_PIN = re.compile(rf"!3d({_DECIMAL})!4d({_DECIMAL})")
_SCREEN = re.compile(rf"@({_DECIMAL}),({_DECIMAL})(?=[,/?&]|$)")
_MAP_MARK = re.compile(rf"map=[0-9.]+/({_DECIMAL})/({_DECIMAL})")
PIN_WORDS = ("q", "query", "destination", "daddr", "marker", "pin")
SCREEN_WORDS = ("ll", "sll", "center", "centre", "cp", "viewpoint")


def is_link(text: str) -> bool:
    """Whether a text is a link of some kind."""
    return bool(re.match(r"\s*(geo:|[a-z]+://|www\.|maps?\.)", text.casefold()))


def link_place(text: str) -> tuple[Place, float | None, str]:
    """Read a link: its position, how fine it says to be in metres, and a remark ("" for none).

    Raises UnreadableError.
    """
    link = "".join(text.split())
    try:
        urlsplit(link)
    except ValueError:
        raise UnreadableError("is not a link that can be read.", CURE) from None
    if link.casefold().startswith("geo:"):
        return _geo(link[4:])
    pins = list(dict.fromkeys(_pins(link)))
    if len(pins) > 1:
        raise UnreadableError("carries more than one pin.", CURE)
    if pins:
        return pins[0], None, ""
    for place in _screens(link):
        return place, None, MIDDLE
    raise UnreadableError("carries no position.", CURE)


def _geo(rest: str) -> tuple[Place, float | None, str]:
    """Read what follows "geo:": latitude, longitude, height; then parameters such as crs and u."""
    numbers, _, query = rest.partition("?")
    numbers, *parameters = numbers.split(";")
    named = dict(p.casefold().partition("=")[::2] for p in parameters)
    if named.get("crs", "wgs84") != "wgs84":
        raise UnreadableError("is on another datum than WGS-84.", "Write it in WGS-84.")
    pin = re.match(_PAIR, unquote_plus(dict(parse_qsl(query)).get("q", "")))
    parts = pin or _GEO.fullmatch(unquote(numbers))
    if not parts:
        raise UnreadableError("is not a geo: link that can be read.", "Write it like geo:52.0613,-2.7154.")
    if float(parts[1]) == float(parts[2]) == 0 and query:
        raise UnreadableError("carries no position.", CURE)
    fine = re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", named.get("u", ""))
    return _place(parts[1], parts[2]), float(fine[0]) if fine else None, ""


def _pins(link: str) -> Iterator[Place]:
    """Yield every place a link marks."""
    marked = [_place(*pair) for pair in _PIN.findall(unquote(link))]
    yield from marked
    if marked:
        return
    words = _words(link)
    if "mlat" in words and "mlon" in words:
        yield _place(words["mlat"], words["mlon"])
    for word in PIN_WORDS:
        yield from _written(re.sub("^(loc|geo):", "", words.get(word, "")))
    for part in urlsplit(link).path.split("/"):
        if not part.startswith("@"):
            yield from _written(unquote_plus(part))


def _screens(link: str) -> Iterator[Place]:
    """Yield the middle of the map a link shows."""
    for pattern in (_SCREEN, _MAP_MARK):
        for pair in pattern.findall(unquote(link)):
            yield _place(*pair)
    words = _words(link)
    for word in SCREEN_WORDS:
        yield from _written(words.get(word, ""))


def _words(link: str) -> dict[str, str]:
    parts = urlsplit(link)
    return {name.casefold(): value for name, value in parse_qsl(f"{parts.query}&{parts.fragment}")}


def _written(text: str) -> Iterator[Place]:
    """Yield the position a part of a link holds, where it is one."""
    if re.fullmatch(_PAIR, text) or ("°" in plain(text)):
        try:
            lat, lon = two(text.replace("~", ","))
        except UnreadableError:
            return
        yield Place(lat.degrees, lon.degrees)


def _place(lat: str, lon: str) -> Place:
    return Place(one(lat, "lat").degrees, one(lon, "lon").degrees)
