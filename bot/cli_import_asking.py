"""What `rackside import` asks at the terminal: the order of days, whose messages count, and what the columns of a table hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from bot.conversation.limits import shorten
from bot.moving.columns import MANY, ROLES, check, guess, mapping_text
from bot.moving.tables import Table
from bot.moving.told import ImportFault
from bot.moving.written_days import DayAt, Order, in_doubt
from bot.wording.days import MONTHS

_SHOWN = 12
"""Senders that are listed."""


def ask_order(days: Sequence[DayAt]) -> Order:
    """Whether the day or the month comes first, where the days themselves do not tell. Raises ImportFault without an answer."""
    where, day = in_doubt(days)[0]
    readings = [f"{day.first} {MONTHS[day.second - 1]}", f"{day.second} {MONTHS[day.first - 1]}"]
    question = f"Is {day.words} ({where}) {readings[0]}, with the day first, or {readings[1]}, with the month first?"
    missing = f"{question} Say --day-first or --month-first; nothing was written."
    while True:
        answer = _answer(f"{question} [day/month] ", missing).lower()
        if answer in ("day", "d"):
            return "day"
        if answer in ("month", "m"):
            return "month"


def ask_senders(senders: Counter[str]) -> list[str]:
    """Whose messages are the keeper's, of several people in a chat. Raises ImportFault without an answer."""
    listed = [name for name, _number in senders.most_common(_SHOWN)]
    told = ", ".join(f"{shorten(name, 40)} ({senders[name]:,})" for name in listed)
    missing = (
        f"Several people write in this chat: {told}. Say which is the keeper with --from NAME; nothing was written."
    )
    print("Several people write in this chat:")
    for place, name in enumerate(listed, 1):
        print(f"  {place}. {shorten(name, 40)}, {senders[name]:,} message{'' if senders[name] == 1 else 's'}")
    while True:
        answer = _answer("Which of them is the keeper? A number or a name, several with commas: ", missing)
        chosen = [_sender(part.strip(), listed, senders) for part in answer.split(",") if part.strip()]
        if chosen and all(chosen):
            return [name for name in chosen if name]
        print("There is nobody of that name in the chat.")


def _sender(answer: str, listed: Sequence[str], senders: Counter[str]) -> str | None:
    if answer.isdecimal() and 1 <= int(answer) <= len(listed):
        return listed[int(answer) - 1]
    return next((name for name in senders if name.casefold() == answer.casefold()), None)


def ask_columns(table: Table) -> list[str]:
    """What each column holds, asked one by one with a guess. Raises ImportFault without an answer."""
    print(f"{len(table.rows):,} rows. What does each column hold? Enter takes the guess, ? shows what there is.")
    while True:
        roles: list[str] = []
        for place, head in enumerate(table.heads):
            roles.append(_ask_column(table, place, head, roles))
        try:
            check(roles)
        except ImportFault as fault:
            print(f"{fault} Once more:")
        else:
            return roles


def _ask_column(table: Table, place: int, head: str, taken: Sequence[str]) -> str:
    values = table.values(place)
    offered = guess(head, values, taken)
    shown = ", ".join(shorten(value, 30) for value in values) or "always empty"
    missing = f"What the column “{head}” holds was not answered; --mapping FILE.toml says it without asking. Nothing was written."
    known = {role.casefold(): role for role in ROLES}
    while True:
        answer = _answer(f"{place + 1} of {len(table.heads)}, “{head}” ({shown}): [{offered}] ", missing) or offered
        role = known.get(answer.casefold())
        if role is None:
            for name, what in ROLES.items():
                print(f"  {name:15} {what}")
        elif role in taken and role not in MANY:
            print(f"Another column is “{role}” already.")
        else:
            return role


def offer_to_keep(table: Table, roles: Sequence[str], order: Order | None) -> None:
    """Write the mapping to a file if the keeper names one."""
    answer = _answer("Keep this mapping for the next time? The name of a file, or Enter for no: ", None)
    if not answer:
        return
    path = Path(answer).expanduser()
    if path.exists():
        print(f"{path} is there already, so the mapping was not kept.")
        return
    try:
        path.write_text(mapping_text(table.heads, roles, order), encoding="utf-8")
    except OSError as fault:
        print(f"{path} cannot be written: {fault.strerror or fault}.")
    else:
        print(f"Kept; --mapping {path} uses it.")


def _answer(question: str, missing: str | None) -> str:
    """A line typed in answer; at the end of the input ImportFault with the sentence, or nothing where there is none."""
    try:
        return input(question).strip()
    except EOFError:
        print()
        if missing is None:
            return ""
        raise ImportFault(missing) from None
