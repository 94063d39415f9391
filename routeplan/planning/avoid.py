"""Planning without some yards: they take no splits and give nothing, their hives stay what they are."""

from dataclasses import replace

from routeplan.colony.surplus import surplus_of
from routeplan.operation.world import Operation
from routeplan.plan import HiveLine, Plan
from routeplan.planning.alternatives import without_giving, without_receiving

AVOIDED = "left out of this plan on request"


def without_yards(operation: Operation, yards: tuple[str, ...]) -> Operation:
    """Return the operation in which these yards take no splits and their hives give nothing."""
    for yard in yards:
        operation = without_giving(without_receiving(operation, yard), yard)
    return operation


def as_asked(operation: Operation, plan: Plan, yards: tuple[str, ...]) -> Plan:
    """Return a plan made without some yards as a plan of the whole operation: what their hives could give is
    told, and that they were left out."""
    if not yards:
        return plan
    surplus = surplus_of(operation)
    lines = []
    for line in plan.hives:
        if line.yard in yards:
            most = surplus[line.yard, line.hive].could
            could = (("capped", most.capped), ("open", most.open), ("food", most.food), ("shake", most.shake))
            line = HiveLine(line.yard, line.hive, tuple((k, n) for k, n in could if n), (), AVOIDED)
        lines.append(line)
    note = f"Left out of this plan on request: {', '.join(yards)}."
    return replace(plan, hives=tuple(lines), notes=(*plan.notes, note))
