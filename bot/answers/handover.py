"""The hand-over sheet for whoever takes an animal or a lot over: "sheet for B", "sheet for the ones I sold to Rui"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bot.answers.handover_facts import Wanted, facts_of
from bot.answers.span import span_of
from bot.answers.view import Target, View
from bot.conversation.reply import Attachment, Reply
from bot.handover import EXTRAS, SECTIONS, Facts, Selection, plain_text
from bot.language.meaning import Ask
from bot.wording import join_names
from storage import journal, stays
from storage.journal import EntryRow
from storage.roster import OccupantRow

WHOSE = "Say whose sheet: “sheet for B”, or “sheet for the ones I sold to Ana”."
UNSAVED = "The PDF could not be saved: is the disk full, or the data folder not to be written to?"
CHECK = "The notes and the words of a sale are quoted: look them over before you give the sheet away."
ROWS = 6
"""Rows of a long table that are said in talk; the PDF has all."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet that can be made: its facts, and what the keeper wants on it."""

    facts: Facts
    selection: Selection

    @property
    def file_name(self) -> str:
        """What to call the PDF; a stroke, which parts folders, becomes a dash."""
        name = f"sheet {self.facts.name} {self.facts.made_on}"
        return f"{name.replace('/', '-').replace(chr(92), '-')}.pdf"

    def pdf(self) -> bytes:
        """The sheet as a PDF."""
        from bot.handover.pdf import pdf  # noqa: PLC0415 - it loads the PDF library, and the plain text does without

        return pdf(self.facts, self.selection)

    def text(self, rows: int | None = None) -> str:
        """The sheet as plain text, long tables cut to so many rows."""
        return plain_text(self.facts, self.selection, rows)


def answer(ask: Ask, view: View) -> Reply:
    """The sheet in plain words with the PDF as a file; a sentence where it is not plain whose it is to be."""
    found = sheet_of(ask, view)
    if isinstance(found, str):
        return Reply(found)
    text = "\n\n".join([found.text(ROWS), "\n".join(_to_the_keeper(found))])
    if view.folder is None:
        return Reply(text)
    from bot.pictures.shelf import keep  # noqa: PLC0415 - as above

    try:
        path = keep(view.folder, found.pdf(), view.now, "pdf")
    except OSError:
        return Reply(f"{text}\n{UNSAVED}")
    return Reply(text, files=(Attachment(path, "document", found.file_name),))


def sheet_of(ask: Ask, view: View) -> Sheet | str:
    """The sheet that a question asks for; a sentence where there is none to make."""
    chosen = {name: tuple(ask.fields.get(name) or ()) for name in ("only", "without", "including")}
    selection = Selection.of(**chosen)
    lot = ask.fields.get("lot")
    wanted = _wanted(ask, view) if lot is None else _wanted_lot(ask, view, str(lot))
    return wanted if isinstance(wanted, str) else Sheet(facts_of(view, wanted, selection), selection)


def _to_the_keeper(sheet: Sheet) -> list[str]:
    """What is said beside the sheet: what was left out, and how to have it otherwise."""
    name, left_out = sheet.facts.name, [key for key in (*SECTIONS, *EXTRAS) if key not in sheet.selection]
    lines = [CHECK] if sheet.selection.wanted & set(EXTRAS) else []
    said = {"heads": "head count", "sizes": "measurements"}
    if left_out:
        lines.append(f"Left out: {join_names([said.get(key, key) for key in left_out])}.")
    lines.append(
        f"For another choice: “sheet for {name} with notes”, “… without photos”, “… only moults and feeding”. "
        f"“show the care sheet for {name}” tells how it is kept."
    )
    return lines


def _wanted(ask: Ask, view: View) -> Wanted | str:
    """The one animal or group that is named, or the only one there is."""
    named = view.targets(ask.subjects) if ask.subjects else _only(view)
    if not named:
        return WHOSE
    animals = list(dict.fromkeys(one for target in named for one in view.animals(target)))
    rows = [one.occupant for one in animals if one.occupant is not None]
    if not rows:
        return f"Nobody lives in {join_names([one.name for one in animals])} on record, so there is no sheet to make."
    if len(rows) > 1:
        return f"A sheet is of one alone: say {_either([row.name for row in rows])}."
    span = span_of(ask, view.today)
    return Wanted(rows[0], min(span.until or view.today, view.today), span.since)


def _only(view: View) -> list[Target]:
    return [place.unit for place in view.places] if len(view.places) == 1 else []


def _wanted_lot(ask: Ask, view: View, taker: str) -> Wanted | str:
    """The group of which some left, to somebody or in some days: its history up to the day on which they did."""
    span = span_of(ask, view.today)
    left = journal.between(view.session, view.collection_id, span.since, span.until, kinds=("departure",))
    of = tuple(ask.fields.get("of") or ())
    asked = {row.id for target in view.targets(of) for row in _rows(view, target)} if of else None
    found: dict[int, list[EntryRow]] = {}
    for entry in left:
        if taker and not _names(entry, taker):
            continue
        for row in _who_left(view, entry):
            if asked is None or row in asked:
                found.setdefault(row, []).append(entry)
    rows = [row for row in view.roster.occupants if row.id in found]
    if not rows:
        to = f" to {taker}" if taker else ""
        return f"No sale{to} is written, so I cannot tell whose sheet that is. Ask for it by the name of the animal or group."
    if len(rows) > 1:
        return f"Several left: say of which, “the ones of {_either([row.name for row in rows], '” or “the ones of ')}”."
    entries = found[rows[0].id]
    return Wanted(rows[0], max(entry.on or view.today for entry in entries), None, tuple(entries))


def _rows(view: View, target: Target) -> list[OccupantRow]:
    return [one.occupant for one in view.animals(target) if one.occupant is not None]


def _who_left(view: View, entry: EntryRow) -> Sequence[int]:
    """The occupants that a departure is of: those named, and who lived alone in a place that is named."""
    found: list[int] = []
    for subject in entry.subjects:
        if subject.occupant_id is not None:
            found.append(subject.occupant_id)
        elif subject.enclosure_id is not None:
            found += stays.occupants_in(view.session, subject.enclosure_id, entry.on)
    return list(dict.fromkeys(found))


def _names(entry: EntryRow, taker: str) -> bool:
    """Whether the words of a departure hold the name of who took them."""
    return re.search(rf"(?<!\w){re.escape(taker)}(?!\w)", entry.words, re.IGNORECASE) is not None


def _either(names: Sequence[str], between: str = " or ") -> str:
    return between.join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
