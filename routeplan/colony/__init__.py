"""Biology: what a count becomes by the day, and what a hive can give."""
