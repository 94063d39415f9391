"""A copy of the day to pass on: no gate codes, ways in, notes, phone numbers or addresses.

Positions stay in the operation for the plain drawing only, which shows none; whatever writes positions asks
`Day.shared` and leaves them out.
"""

import re
from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.plan import Plan

LEFT_OUT = "(left out)"
_PHONE = r"[+(]{0,2}\d[\d\s().\u00a0/-]{5,}\d"
_MAIL = r"[^\s@<>()]+@[^\s@<>()]+\.\w+"
_PLACE = r"-?\d{1,3}\.\d{3,}"
_DATE = r"\d{4}-\d{2}-\d{2}"
_CONTACT = re.compile(f"({_DATE})|{_MAIL}|{_PLACE}|{_PHONE}")


def operation_to_share(operation: Operation) -> Operation:
    """Return the operation without what is nobody else's business: gates, ways in, notes, contacts."""
    return replace(
        operation,
        yards=tuple(replace(yard, gate="", access="", note="") for yard in operation.yards),
        hives=tuple(replace(hive, note="") for hive in operation.hives),
        crew=replace(operation.crew, name=without_contacts(operation.crew.name)),
        settings=replace(operation.settings, title=without_contacts(operation.settings.title)),
    )


def plan_to_share(plan: Plan) -> Plan:
    """Return the plan with no contact in its headings; a plan holds no position."""
    return replace(plan, title=without_contacts(plan.title), crew=without_contacts(plan.crew))


def without_contacts(text: str) -> str:
    """Take phone numbers, mail addresses and degrees out of a text; dates stay."""
    return _CONTACT.sub(lambda found: found[1] or LEFT_OUT, text)
