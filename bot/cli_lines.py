"""`rackside parse` and `rackside dates`: JSON lines in, JSON lines out, in order, each answered before the next is read.

A line that cannot be used gets {"id": …, "error": …} in its place, and the run goes on; the exit status is then 1.
"""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any, TextIO
from zoneinfo import ZoneInfo

from bot.language import read
from bot.language.contract import to_contract
from bot.language.dates.answer import date_answer
from bot.language.meaning import Meaning
from bot.language.roster import Roster
from bot.roster_file import load_roster

Record = dict[str, Any]


class LineFault(ValueError):
    """One line of input cannot be used; the message says why."""


def parse(options: Namespace) -> int:
    """Read messages from standard input against a roster. Raises RosterFault if the roster cannot be used."""
    roster = load_roster(options.roster)
    return run_lines(
        sys.stdin.buffer, sys.stdout, ("now", "text"), lambda line: parse_line(line, roster, explain=options.explain)
    )


def dates(_options: Namespace) -> int:
    """Read date expressions from standard input."""
    return run_lines(sys.stdin.buffer, sys.stdout, ("text", "ref"), date_line)


def run_lines(
    source: Iterable[bytes], sink: TextIO, needed: tuple[str, ...], answer: Callable[[Record], Record]
) -> int:
    """Answer each line of `source` with one line of `sink`; 0 if every line was good, else 1.

    `needed` names the fields, beside id, that a line must carry as strings.
    """
    status = 0
    for line in source:
        result = answer_line(line, needed, answer)
        if "error" in result:
            status = 1
        # ASCII, because a message may hold half a surrogate pair, which UTF-8 cannot carry.
        sink.write(json.dumps(result, ensure_ascii=True) + "\n")
        sink.flush()
    return status


def answer_line(line: bytes, needed: tuple[str, ...], answer: Callable[[Record], Record]) -> Record:
    """The answer to one line, or what is wrong with it, under the line's own id."""
    name = None
    try:
        record = decode_line(line)
        name = record.get("id")
        check_fields(record, needed)
        return {"id": name, **answer(record)}
    except LineFault as fault:
        return {"id": name, "error": str(fault)}
    except Exception as fault:  # noqa: BLE001 - one line must never end the run, whatever is wrong with it or with us
        return {"id": name, "error": f"this line could not be read ({type(fault).__name__}: {fault})"}


def decode_line(line: bytes) -> Record:
    """The JSON object on a line. Raises LineFault."""
    try:
        record = json.loads(line.decode("utf-8"))
    except RecursionError as fault:
        raise LineFault("not valid JSON: nested too deeply") from fault
    except ValueError as fault:
        raise LineFault(f"not valid JSON: {fault}") from fault
    if not isinstance(record, dict):
        raise LineFault("not a JSON object")
    return record


def check_fields(record: Record, needed: tuple[str, ...]) -> None:
    """Raise LineFault for the first field that is missing or is no string."""
    if "id" not in record:
        raise LineFault('the field "id" is missing')
    for field in needed:
        if field not in record:
            raise LineFault(f'the field "{field}" is missing')
        if not isinstance(record[field], str):
            raise LineFault(f'the field "{field}" is not a string')


def local_time(written: str, field: str, zone: str | None = None) -> datetime:
    """A local clock time without zone; one written with an offset is taken to `zone`, or else keeps its own clock."""
    try:
        moment = datetime.fromisoformat(written)
    except ValueError as fault:
        raise LineFault(f'the field "{field}" is not a time like 2026-03-03T19:05: {written!r}') from fault
    if moment.tzinfo is not None and zone is not None:
        moment = moment.astimezone(ZoneInfo(zone))
    return moment.replace(tzinfo=None)


def parse_line(record: Record, roster: Roster, *, explain: bool) -> Record:
    """The contract's answer to one message; `explain` adds how it came about."""
    meaning = read(record["text"], local_time(record["now"], "now", roster.zone), roster)
    answer = to_contract(meaning)
    return {**answer, "explain": explanation(meaning)} if explain else answer


def explanation(meaning: Meaning) -> Record:
    """The score, the words that made each field (start and end count characters), and the readings that came next."""
    fields: dict[str, list[Record]] = {}
    for evidence in meaning.evidence:
        words = {"words": evidence.words, "start": evidence.start, "end": evidence.end}
        fields.setdefault(evidence.where, []).append(words)
    runners_up = [{"score": other.score, **to_contract(other)} for other in meaning.runners_up]
    return {"score": meaning.score, "fields": fields, "runners_up": runners_up}


def date_line(record: Record) -> Record:
    """The date that one expression means, seen from the local time `ref`; `prefer` is past (if left out) or future."""
    prefer = record.get("prefer", "past")
    if prefer not in ("past", "future"):
        raise LineFault('the field "prefer" is "past" or "future"')
    return dict(date_answer(record["text"], local_time(record["ref"], "ref"), prefer))
