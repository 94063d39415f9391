"""From an operation to a plan: yields, rounds, boxes, and what is short."""
