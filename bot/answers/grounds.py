"""What an answer of the reckoning rests on: the entries it was made from, in the words they came in, newest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from bot.answers.crowding import hides_in
from bot.answers.growing import moults_of
from bot.answers.heads import bearing
from bot.answers.samples import measurements
from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from storage.journal import EntryRow

SHOWN = 8


def answer(ask: Ask, view: View) -> Reply:
    """List the entries behind the answer to `fields["of"]` for each of those it was about."""
    of = str(ask.fields.get("of"))
    targets = dict.fromkeys(one for target in view.targets(ask.subjects) for one in view.animals(target))
    entries_of = _of_compared(ask) if of == "compare" else _GROUNDS.get(of, _of_heads)
    share = max(2, SHOWN // max(1, len(targets)))
    return Reply(
        "\n".join(line for one in targets for line in _lines(view, one, entries_of(view, one), share))
        or "There is nobody on the roster yet."
    )


def _lines(view: View, target: Target, entries: Iterable[EntryRow], most: int) -> list[str]:
    """So many of the newest entries, and how many more there are."""
    found = sorted({entry.id: entry for entry in entries}.values(), key=_place, reverse=True)
    if not found:
        return [f"{target.name}: it rests on no entry, only on what was said at set-up."]
    lines = [f"- {view.day(entry.on)}, {view.act(entry)}: {view.source(entry)}" for entry in found[:most]]
    older = [f"and {len(found) - most} older"] if len(found) > most else []
    noun = "entry" if len(found) == 1 else "entries"
    return [f"{target.name} rests on {len(found)} {noun}:", *lines, *older]


def _place(entry: EntryRow) -> tuple[str, int]:
    return str(entry.moment or ""), entry.id


def _of_heads(view: View, target: Target) -> list[EntryRow]:
    return [] if target.occupant is None else [one for one in bearing(view, target.occupant) if one.kind != "placed"]


def _of_sizes(view: View, target: Target) -> list[EntryRow]:
    return measurements(view, target)


def _of_growth(view: View, target: Target) -> list[EntryRow]:
    return [*measurements(view, target), *moults_of(view, target)]


def _of_room(view: View, target: Target) -> list[EntryRow]:
    notes = view.history(target, ("note",))
    return [*_of_heads(view, target), *(entry for entry in notes if hides_in(entry) is not None)]


def _of_compared(ask: Ask) -> Callable[[View, Target], list[EntryRow]]:
    """Of sizes or losses, whichever were compared; both where neither was said."""
    match ask.fields.get("compared"):
        case "size":
            return _of_sizes
        case "losses":
            return _of_heads
        case _:
            return lambda view, target: [*_of_heads(view, target), *_of_sizes(view, target)]


_GROUNDS: Mapping[str, Callable[[View, Target], list[EntryRow]]] = {
    "losses": _of_heads,
    "headcount": _of_heads,
    "size": _of_growth,
    "next": _of_growth,
    "crowding": _of_room,
}

EXPLAINED = frozenset({*_GROUNDS, "compare"})
"""Questions whose answers can tell what they rest on, when "why" comes after."""


_PICTURED: Mapping[str, str] = {"heads": "headcount", "growth": "size", "survival": "losses"}


def why_of(ask: Ask) -> Ask | None:
    """The question "why" that goes with a question of the reckoning; None for any other."""
    if ask.about == "picture":
        of = _PICTURED.get(str(ask.fields.get("of")))
        return None if of is None else Ask("why", subjects=ask.subjects, fields={"of": of})
    if ask.about not in EXPLAINED or (ask.about == "next" and ask.kind != "moult"):
        return None
    return Ask("why", subjects=ask.subjects, fields={"of": ask.about, "compared": ask.fields.get("of")})
