"""The care sheet that holds for somebody, every value with where it came from: "show the care sheet for B"."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bot.answers.view import View
from bot.answers.wards import make_round, names_asked
from bot.care.due import Ward
from bot.care.due.scene import bodies
from bot.care.rules import effective, rules_of
from bot.care.sheet import CareSheet, Row, Sourced, Span, suggestion
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, say_humidity, say_measure, say_number, say_range, say_temperature
from storage.roster import OccupantRow


def answer(ask: Ask, view: View) -> Reply:
    """Tell every value of the sheet for each one named, the keeper's own words put in; for all, which sheet each has."""
    made = make_round(view, ask.subjects)
    asked = names_asked(view, ask.subjects)
    occupants = {one.name: one for place in view.places for one in place.residents}
    wards = [ward for ward in made.wards if ward.name in occupants and (not asked or ward.name in asked)]
    if not wards:
        return Reply(
            f"Nobody lives in {join_names(ask.subjects)}, so no care sheet holds there."
            if ask.subjects
            else "There is nobody on the roster yet."
        )
    if not ask.subjects:
        return Reply("\n".join(f"{ward.name}: {_because(occupants[ward.name])}" for ward in wards))
    return Reply("\n".join(line for ward in wards for line in _sheet(view, ward, occupants[ward.name])))


def _because(occupant: OccupantRow) -> str:
    return f"{suggestion(occupant.species, occupant.kind, occupant.name).because}."


def _sheet(view: View, ward: Ward, occupant: OccupantRow) -> Iterator[str]:
    whole = suggestion(occupant.species, occupant.kind, occupant.name).sheet
    sheet = effective(whole, rules_of(ward.rules))
    body = next(bodies([fact for fact in ward.facts if fact.kind == "measurement"]), None)
    yield f"{ward.name}: {_because(occupant)}"
    if body is None:
        size = say_measure([sheet.assumed_mm.value] * 2, "body", view.units)
        yield f"No size is written; {size} body length is assumed ({sheet.assumed_mm.source})."
    row = sheet.row(body.mm if body else None)
    for one in sheet.rows:
        yield f"{_stage(view, one)}{' (now)' if one is row and len(sheet.rows) > 1 else ''}:"
        yield from (f"- {line}" for line in _row(one))
    yield "For every size:"
    yield from (f"- {line}" for line in _common(view, sheet))


def _stage(view: View, row: Row) -> str:
    if row.upto_mm is None:
        return row.stage.capitalize()
    return f"{row.stage.capitalize()}, under {say_measure([row.upto_mm] * 2, 'body', view.units)}"


def _row(row: Row) -> Iterator[str]:
    yield _told("feeding", _every(row.feeding.value), row.feeding)
    if row.prey_share is not None:
        low, high = (round(share * 100) for share in row.prey_share.value)
        yield _told("prey", f"{say_range((low, high))} % of the body length", row.prey_share)
    if row.prey_state is not None:
        yield _told("prey is given", row.prey_state.value, row.prey_state)
    if row.after_moult is not None:
        yield _told("food after a moult", f"after {_days(row.after_moult.value)}", row.after_moult)
    if row.premoult is not None:
        yield _told("premoult holds feeding", f"up to {_days((row.premoult.value,) * 2)}", row.premoult)


def _common(view: View, sheet: CareSheet) -> Iterator[str]:
    amount = f", {sheet.misting_amount.value}" if sheet.misting and sheet.misting_amount else ""
    if sheet.misting is not None:
        yield _told("misting", f"{_every(sheet.misting.value)}{amount}", sheet.misting)
    every = {"water": sheet.watering, "spot clean": sheet.spot_clean, "full clean": sheet.full_clean}
    for name, interval in {**every, "head count": sheet.recount}.items():
        if interval is not None:
            yield _told(name, _every(interval.value), interval)
    if sheet.water_dish is not None:
        yield _told("water dish", sheet.water_dish.value, sheet.water_dish)
    if sheet.humidity_pct is not None:
        yield _told("humidity", say_humidity(sheet.humidity_pct.value).removesuffix(" humidity"), sheet.humidity_pct)
    if sheet.temperature_c is not None:
        yield _told("temperature", say_temperature(sheet.temperature_c.value, view.units), sheet.temperature_c)
    if sheet.settling_days is not None:
        yield _told("no food after a move", f"for {_days((sheet.settling_days.value,) * 2)}", sheet.settling_days)
    if sheet.look_in_days is not None:
        days = join_names([str(day) for day in sheet.look_in_days.value])
        yield _told("look-ins after a move", f"on days {days}", sheet.look_in_days)
    for name, note in sheet.notes.items():
        yield _told(name, note.value, note)


def _told(name: str, value: str, sourced: Sourced[Any]) -> str:
    return f"{name}: {value} ({sourced.source})"


def _every(span: Span) -> str:
    return f"every {_days(span)}" if span != (1, 1) else "every day"


def _days(span: Span) -> str:
    low, high = span
    said = say_number(low) if low == high else f"{say_number(low)} to {say_number(high)}"
    return f"{said} day{'' if low == high == 1 else 's'}"
