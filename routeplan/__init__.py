"""Plans a splitting day across many yards and proves how good the plan is."""

__version__ = "0.1.0"
