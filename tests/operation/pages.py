"""How a column and a setting stand in data/README.md; test_readme holds the page to it."""

from routeplan.operation.columns import Column
from routeplan.operation.guide import written
from routeplan.operation.setting_words import MEANINGS, UNSAID, default_text
from routeplan.operation.synonyms import COLUMN_WORDS, TABLE_WORDS

COLUMN_HEAD = "| column | what is written | unit | a blank means | example | meaning |"
SETTING_HEAD = "| setting | unit | default | meaning |"


def column_line(column: Column) -> str:
    blank = "**must be filled**" if column.required else column.blank or "nothing"
    kind = written(column)
    return f"| {column.name} | {kind} | {column.unit} | {blank} | {column.example} | {column.meaning} |"


def setting_line(key: str) -> str:
    unit, meaning = MEANINGS[key]
    default = "not given" if key in UNSAID else f"`{default_text(key)}`"
    return f"| {key} | {unit} | {default} | {meaning} |"


OTHER_HEAD = "| table | column | other headers that are read as it |"


def other_header_lines(table: str) -> list[str]:
    words = {"(its name)": TABLE_WORDS[table]} | COLUMN_WORDS[table]
    return [f"| {table} | {name} | {', '.join(others)} |" for name, others in words.items()]
