"""A sheet as plain text."""

from __future__ import annotations

from collections.abc import Iterator

from bot.handover.facts import Facts, Selection
from bot.handover.sections import Section, heading, sections
from bot.wording import join_names, say_full_day

TITLE = "Hand-over sheet"


def plain_text(facts: Facts, selection: Selection, rows: int | None = None) -> str:
    """The sheet as lines. `rows`: of a long table only so many of its last rows, and how many more there are."""
    parts = [_section(one, rows) for one in sections(facts, selection)]
    head = "\n".join([f"{TITLE}: {facts.name}", *(f"{line}." for line in heading(facts))])
    return "\n\n".join([head, *parts])


def _section(section: Section, rows: int | None) -> str:
    lines = [section.title.upper(), *section.lines]
    if section.table is not None:
        lines += _table(section, rows)
    lines += _pictures(section)
    return "\n".join(lines)


def _table(section: Section, rows: int | None) -> Iterator[str]:
    table = section.table
    if table is None:
        return
    cut = len(table.rows) - rows if rows is not None and section.key != "feeding" else 0
    if cut > 0:
        yield f"- {cut} earlier: in the PDF"
    yield from (f"- {table.line.format(*row)}" for row in table.rows[max(0, cut) :])


def _pictures(section: Section) -> Iterator[str]:
    """Where the pictures are to be had, with their days: plain text shows none."""
    if not section.pictures:
        return
    days = dict.fromkeys(say_full_day(one.on) for one in section.pictures)
    number = len(section.pictures)
    yield f"In the PDF: {number} picture{'' if number == 1 else 's'}, sent {join_names(list(days))}."
