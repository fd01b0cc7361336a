"""Items to sentences and clauses: where one act ends and the next begins, also in dictated text without any marks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bot.language.names import NameSpan

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item, Tagged

ENDS = {".", "!", "?", ";", "\n", "…"}
BREAKS = {",", ":", "-", "&", "+", "/", "(", ")", "|", "*", "•"}
CONNECTIVES = {"and", "but", "then", "also", "plus", "while", "whilst", "because", "cos", "cuz", "bc", "though", "although", "however", "meanwhile", "afterwards", "ps", "whereas", "&", "as", "when", "after", "before"}  # fmt: skip
SPLITTERS = CONNECTIVES - {"as", "when", "after", "before"}
LISTING = {",", "and", "&", "+", "/", "plus"}
PRONOUNS = {"i", "we", "they", "she", "he", "it"}
LIGHT = {"just", "also", "have", "has", "then", "both", "all", "still", "is", "are", "was", "were", "had", "been", "already", "really", "only", "finally", "am", "did", "do", "does", "got", "gets", "seem", "seems", "looks", "look", "looking", "now", "never", "not", "each", "again", "even", "actually", "quickly", "will", "a", "bit", "very", "who", "which", "being", "being", "has", "properly"}  # fmt: skip
OBJECT_LEADS = {"of", "with", "to", "into", "in", "from", "for", "off", "out", "at", "on", "onto", "the", "if", "and", "over", "between", "both", "see", "saw", "that", "by"}  # fmt: skip
SHAPES = {"fat", "dark", "shiny", "plump", "dull", "swollen", "huge", "black"}
SKIPPED = {"the", "of", "my", "our", "on", "in", "for", "to", "with", "from"}


@dataclass(frozen=True)
class Clause:
    """A stretch of a sentence that says one thing. `joiner` is the mark or word before it, `number` its sentence."""

    items: tuple[Item, ...]
    joiner: str = ""
    number: int = 0

    @property
    def names(self) -> list[Item]:
        """The names in it."""
        return [item for item in self.items if item.kind == "name"]

    @property
    def dates(self) -> list[Item]:
        """The dates in it."""
        return [item for item in self.items if item.kind == "date"]

    @property
    def numbers(self) -> list[Item]:
        """The quantities in it."""
        return [item for item in self.items if item.kind == "number"]

    def verb(self, *values: str) -> Item | None:
        """The first of these verbs."""
        return next((item for item in self.items if item.verb(*values)), None)

    def thing(self, *values: str) -> Item | None:
        """The first of these nouns."""
        return next((item for item in self.items if item.thing(*values)), None)

    def senses(self, category: str, *values: str) -> list[Item]:
        """The items that have a sense of a category."""
        return [item for item in self.items if item.sense(category, *values)]

    def plain(self, *texts: str) -> Item | None:
        """The first item that is written as one of these words."""
        return next((item for item in self.items if item.text in texts), None)

    def index(self, item: Item) -> int:
        """Where an item stands."""
        return self.items.index(item)

    def after(self, item: Item) -> tuple[Item, ...]:
        """What follows an item."""
        return self.items[self.index(item) + 1 :]

    def before(self, item: Item) -> tuple[Item, ...]:
        """What stands before an item."""
        return self.items[: self.index(item)]

    @property
    def texts(self) -> list[str]:
        """The words of all items."""
        return [item.text for item in self.items]


@dataclass(frozen=True)
class Sentence:
    """Items up to a full stop, with the mark that ended it."""

    items: tuple[Item, ...]
    end: str


def sentences(tagged: Tagged) -> list[Sentence]:
    """The sentences of a message; a mark inside a name or a date does not end one."""
    found: list[Sentence] = []
    held: list[Item] = []
    for item in tagged.items:
        if item.kind == "mark" and item.text in ENDS:
            if held:
                found.append(Sentence(tuple(held), item.text))
            elif found and item.text == "?":
                found[-1] = replace(found[-1], end="?")
            held = []
        else:
            held.append(item)
    if held:
        found.append(Sentence(tuple(held), ""))
    return found


def clauses(sentence: Sentence, number: int) -> list[Clause]:
    """A sentence's clauses: parted at commas and connectives, lists of names kept whole, run-on text parted at its verbs."""
    parts: list[Clause] = []
    for joiner, items in _parted(_with_lists(sentence.items)):
        for index, run in enumerate(_runs(items)):
            parts.append(Clause(tuple(run), joiner if index == 0 else "", number))
    return [part for part in parts if any(item.kind != "mark" for item in part.items)]


def _parted(items: Sequence[Item]) -> list[tuple[str, list[Item]]]:
    parts: list[tuple[str, list[Item]]] = [("", [])]
    for position, item in enumerate(items):
        if _breaks(items, position):
            if parts[-1][1]:
                parts.append((item.text, []))
            else:
                parts[-1] = (item.text if parts[-1][0] in {"", ",", "and"} else parts[-1][0], [])
        else:
            parts[-1][1].append(item)
    return [part for part in parts if part[1]]


def _breaks(items: Sequence[Item], position: int) -> bool:
    item = items[position]
    if item.text == "/" and 0 < position < len(items) - 1 and items[position - 1].kind == "number" and items[position + 1].kind == "number":
        return False
    if item.text == "and" and _shapes(items[position - 4 : position]) and _shapes(items[position + 1 : position + 4]):
        return False  # "plump as a pudding and really dark" is one look
    if item.kind == "mark":
        return item.text in BREAKS or (not item.text.isascii() and item.text not in {"°", "º"})
    if item.kind in {"name", "date", "number"} or item.text not in SPLITTERS:
        return False
    return position > 0 or len(items) > 1


def _shapes(items: Sequence[Item]) -> bool:
    return any(item.text in SHAPES for item in items)


# ---- lists of names ---------------------------------------------------------------------------------------------


def _with_lists(items: Sequence[Item]) -> list[Item]:
    """Names joined by commas and "and" become one item, unless the last of them begins a clause of its own."""
    out: list[Item] = []
    position = 0
    while position < len(items):
        item = items[position]
        if item.kind == "name":
            end = _list_end(items, position, opens=not any(_content(other) for other in _since_mark(out)))
            if end > position + 1:
                names = [other for other in items[position:end] if other.kind == "name"]
                item = _listed(names)
                position = end - 1
        out.append(item)
        position += 1
    return out


def _since_mark(items: list[Item]) -> list[Item]:
    """The items after the last mark or connective."""
    start = next((index + 1 for index in range(len(items) - 1, -1, -1) if items[index].kind == "mark" or items[index].text in SPLITTERS), 0)
    return items[start:]


def _content(item: Item) -> bool:
    return item.kind in {"name", "number"} or bool(item.sense("verb") or item.sense("thing") or item.sense("prey") or item.sense("sign"))


def _list_end(items: Sequence[Item], start: int, *, opens: bool) -> int:
    """The item after the last name of a list that starts here."""
    members, end, cursor = 1, start + 1, start + 1
    last_link = ""
    while True:
        link = cursor
        while link < len(items) and items[link].text in LISTING and items[link].kind in {"mark", "plain", "word"}:
            link += 1
        if link == cursor and not (cursor < len(items) and items[cursor].kind == "name" and opens):
            break
        following = link
        while following < len(items) and items[following].text in SKIPPED and items[following].kind in {"plain", "word"}:
            following += 1
        if following >= len(items) or items[following].kind != "name":
            break
        last_link = items[link - 1].text
        members, end, cursor = members + 1, following + 1, following + 1
    if members == 1:
        return start + 1
    if not opens and _predicate_follows(items, end):
        return _before_subject(items, start, end, closed=members > 2 and last_link in {"and", "&"})
    return end


def _before_subject(items: Sequence[Item], start: int, end: int, *, closed: bool) -> int:
    """Where a list of objects ends and the subject of what follows begins: "misted A, B and C got water" is A, then B and C."""
    comma = next((at for at in range(end - 1, start, -1) if items[at].text == ","), None)
    if closed and comma is not None:
        return comma
    previous = end - 1
    while items[previous - 1].kind != "name":
        previous -= 1
    return previous


def _predicate_follows(items: Sequence[Item], at: int) -> bool:
    cursor = at
    while cursor < len(items) and items[cursor].text in LIGHT and not items[cursor].sense("verb", "get"):
        cursor += 1
    if cursor >= len(items) or items[cursor].kind in {"name", "date", "mark", "number"}:
        return False
    item = items[cursor]
    return bool(item.sense("outcome") or item.sense("sign") or (item.sense("verb") and not item.sense("each")))


def _listed(names: list[Item]) -> Item:
    first = names[0]
    subjects = tuple(dict.fromkeys(subject for item in names if item.name for subject in item.name.subjects))
    doubtful = next((item.name for item in names if item.name and item.name.how == "either"), None)
    span = NameSpan(first.first, names[-1].last, doubtful.subjects if doubtful else subjects, "either" if doubtful else "many", groups=all(item.name is not None and item.name.groups for item in names), animals=all(item.name is not None and item.name.animals for item in names))
    return replace(first, last=names[-1].last, end=names[-1].end, name=span, senses=(), text=" ".join(item.text for item in names))


# ---- run-on text ------------------------------------------------------------------------------------------------


def _runs(items: list[Item]) -> list[list[Item]]:
    """Part a stretch without marks where a new subject or a new act of the keeper begins."""
    runs: list[list[Item]] = [[]]
    for position, item in enumerate(items):
        current = runs[-1]
        if current and _has_said_something(current) and (_new_subject(items, position) or _new_act(items, position, current)):
            runs.append([])
        runs[-1].append(item)
    return runs


def _has_said_something(run: Sequence[Item]) -> bool:
    acts = any(item.sense("verb") and not item.sense("verb", "get", "see") for item in run)
    seen = any(item.sense("outcome") or item.sense("sign") for item in run)
    named = any(item.kind == "name" for item in run)
    return acts or seen or (named and any(item.prey or item.kind == "number" for item in run))


def _new_subject(items: Sequence[Item], position: int) -> bool:
    item = items[position]
    if item.kind == "name":
        counted = items[position - 1].kind == "number" and not (items[position - 1].quantity and items[position - 1].quantity.unit)  # type: ignore[union-attr]
        if position and (items[position - 1].text in OBJECT_LEADS or counted) and not _article_after_words(items, position):
            return False
        return not item.possessive and (_animal_predicate(items, position + 1) or _offered_to(items, position)) and not _governed(items, position)
    if item.kind == "number":
        return _number_in(items, position)
    if item.text == "it" and position and items[position - 1].forms:
        return False  # an object, right after its verb
    return item.text in PRONOUNS and item.kind == "plain" and _clause_verb(items, position + 1) and not _relative(items, position)


def _offered_to(items: Sequence[Item], position: int) -> bool:
    """ "june 2 crickets penny 1 locust": a name, a number and prey, after as much for another."""
    following = items[position + 1 : position + 5]
    if not following or following[0].kind != "number":
        return False
    prey = next((item for item in following if item.prey), None)
    if following[0].quantity and following[0].quantity.unit and any(item.quantity and item.quantity.unit == following[0].quantity.unit for item in items[:position]):
        return True
    return prey is not None and any(item.prey for item in items[:position]) and any(item.kind == "name" for item in items[:position])


def _number_in(items: Sequence[Item], position: int) -> bool:
    """ "3 skins in A 1 in B": a number and a place, after a number and a place."""
    following = items[position + 1 : position + 3]
    placed = len(following) == 2 and following[0].text in {"in", "for", "to", "from"} and following[1].kind == "name"
    return placed and items[position - 1].kind == "name" and any(item.kind == "number" for item in items[:position])


def _article_after_words(items: Sequence[Item], position: int) -> bool:
    """ "… lightly the whips got" : the article belongs to a new subject, not to a preposition or a verb before it."""
    if items[position - 1].text != "the" or position < 2:
        return False
    lead = items[position - 2]
    return not (lead.text in OBJECT_LEADS or lead.kind == "number" or lead.sense("verb"))


def _governed(items: Sequence[Item], position: int) -> bool:
    """Whether a name is the object of the verb right before it ("fed B", "saw B eating")."""
    before = [item for item in items[:position] if item.text not in {"the", "my", "our", "just"}]
    if not before:
        return False
    return bool(before[-1].sense("verb") and not any(item.kind == "name" for item in before))


def _animal_predicate(items: Sequence[Item], at: int) -> bool:
    cursor = at
    while cursor < len(items) and items[cursor].kind in {"plain", "word"} and items[cursor].text in LIGHT and not items[cursor].sense("verb", "get"):
        cursor += 1
    if cursor >= len(items):
        return cursor > at + 1 and items[cursor - 1].text == "not"
    if items[cursor].kind not in {"word", "plain"}:
        return False
    item = items[cursor]
    verb = item.sense("verb")
    return bool(item.sense("outcome") or item.sense("sign") or (verb and (verb.agent == "animal" or verb.form == "past")))


def _clause_verb(items: Sequence[Item], at: int) -> bool:
    cursor = at
    while cursor < len(items) and (items[cursor].text in LIGHT or items[cursor].sense("filler")) and not items[cursor].sense("verb"):
        cursor += 1
    return cursor < len(items) and bool(items[cursor].sense("verb") or items[cursor].sense("outcome") or items[cursor].sense("sign"))


def _relative(items: Sequence[Item], position: int) -> bool:
    """ "the 2 crickets I gave B": a relative clause goes on with what stands before it."""
    before = items[position - 1] if position else None
    return before is not None and (bool(before.prey) or before.text in {"that", "which", "if", "when", "because", "like", "how", "where"})


def _new_act(items: Sequence[Item], position: int, current: Sequence[Item]) -> bool:
    item = items[position]
    verb = item.sense("verb")
    if verb is None or verb.agent != "keeper" or verb.form != "past" or item.kind == "name":
        return False
    earlier = [other.sense("verb") for other in current]
    if not any(known and known.value not in {"get", "see", "check", "take"} for known in earlier) or verb.value in {"see", "weigh", "measure"}:
        return False
    previous = items[position - 1]
    return not (previous.text in {"to", "got", "was", "were", "been", "being", "is", "has", "have", "be", "get", "not", "and", "that", "of"} or previous.sense("verb"))
