"""Questions: what is asked about, of whom, and over what time."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bot.language.meaning import Ask

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from bot.language.clauses import Clause
    from bot.language.items import Item

KIND_OF_VERB = {
    "feed": "feeding", "eat": "feeding", "take": "feeding", "refuse": "feeding", "mist": "misting", "water": "watering", "clean": "cleaning",
    "spotclean": "cleaning", "moult": "moult", "move": "move", "split": "move", "join": "move", "count": "count", "die": "death", "buy": "arrival",
    "arrive": "arrival", "sell": "departure", "giveaway": "departure", "pair": "pairing", "introduce": "pairing", "hatch": "sac", "lay": "sac",
    "weigh": "measurement", "measure": "measurement",
}  # fmt: skip
KIND_OF_THING = {
    "feeding": "feeding", "misting": "misting", "watering": "watering", "cleaning": "cleaning", "fullclean": "cleaning", "cleanout": "cleaning", "spotclean": "cleaning",
    "exuvia": "moult", "moving": "move", "sac": "sac", "death": "death", "pairing": "pairing", "weighing": "measurement", "weight": "measurement",
    "substrate": "cleaning", "water": "watering", "count": "count", "eggs": "sac",
}  # fmt: skip
SIZE_WORDS = {
    "big",
    "large",
    "heavy",
    "long",
    "size",
    "legspan",
    "weigh",
    "weight",
    "heavily",
    "wide",
    "measure",
    "tall",
    "weighs",
    "leg span",
    "grown",
    "body length",
    "sizes",
    "dls",
    "fat",
    "small",
}
CLIMATE_WORDS = {
    "humid",
    "humidity",
    "warm",
    "hot",
    "cold",
    "temp",
    "temperature",
    "damp",
    "dry",
    "rh",
    "wet",
    "temps",
    "readings",
    "reading",
    "conditions",
    "climate",
    "degrees",
    "hum",
    "cool",
    "hygro",
    "moist",
}
DUE_WORDS = {
    "due",
    "overdue",
    "outstanding",
    "to do",
    "todo",
    "doing",
    "do",
    "on the list",
    "late",
    "tasks",
    "chores",
    "jobs",
    "pending",
    "behind",
    "agenda",
    "list",
}
COUNT_LEADS = {
    "have",
    "are",
    "left",
    "got",
    "live",
    "remain",
    "alive",
    "in",
    "there",
    "is",
    "do",
    "heads",
    "head",
    "now",
    "strong",
    "total",
    "many",
    "count",
}


def read_ask(clauses: Sequence[Clause], today: date) -> Ask | None:
    """What these clauses ask, or None where it cannot be told."""
    items = [item for clause in clauses for item in clause.items]
    words = Words(items)
    about, kind = _about(words)
    if about is None:
        return None
    subjects = _subjects(items)
    since, until, days = _span(words, about, today)
    return Ask(about, _kind_asked(words, about, kind), subjects, since, until, days)


def _kind_asked(words: Words, about: str, kind: str | None) -> str | None:
    """The kind a question is limited to; "why are there 44" is about a count."""
    if about == "why":
        counted = any(item.quantity for item in words.items) and not words.any("due", "skip", "held")
        return "count" if counted else None
    if about == "due":
        return kind if kind != "count" and words.verb_said() else None
    return kind if about in {"last", "did", "who", "next", "day"} else None


class Words:
    """The items of a question with quick looks at them."""

    def __init__(self, items: list[Item]) -> None:
        """Keep the items and the set of their words."""
        self.items = items
        self.texts = [item.text for item in items if item.kind != "date"]  # "last night" asks for no last time
        self.joined = " " + " ".join(self.texts) + " "

    def any(self, *words: str) -> bool:
        """Whether one of these words or phrases is said."""
        return any(f" {word} " in self.joined for word in words)

    def verb_said(self) -> bool:
        """Whether an act is asked about by its verb or noun ("who needs feeding")."""
        return any(
            item.kind == "word"
            and (item.verb(*KIND_OF_VERB) or item.thing("feeding", "misting", "watering", "cleaning", "weighing"))
            for item in self.items
        )

    def kind(self) -> str | None:
        """The kind of entry that is asked about: by its verb, then by a noun."""
        verbs = [item for item in self.items if item.kind == "word" and item.sense("verb")]
        if self.any("put down", "write down", "wrote down", "written down", "noted down"):
            return None
        for item in sorted(verbs, key=lambda item: item.sense("verb").value in {"take", "clean", "get", "count"}):  # type: ignore[union-attr]
            for sense in item.senses:
                if (
                    sense.category == "verb"
                    and sense.value in KIND_OF_VERB
                    and not (sense.value == "count" and self.any("how many"))
                ):
                    if sense.value == "water" and any(other.verb("change", "fill") for other in self.items):
                        continue
                    return KIND_OF_VERB[sense.value]
        for item in self.items:
            for sense in item.senses if item.kind == "word" else ():
                if sense.category == "thing" and sense.value in KIND_OF_THING:
                    return KIND_OF_THING[sense.value]
        if any(item.kind == "word" and (item.prey or item.sense("outcome")) for item in self.items):
            return "feeding"
        if any(item.kind == "word" and item.sense("sign") for item in self.items):
            return "observation"
        return None


def _about(words: Words) -> tuple[str | None, str | None]:
    kind = words.kind()
    for about, test in RULES:
        if test(words, kind):
            return about, kind
    return None, kind


def _is_feeders(words: Words, kind: str | None) -> bool:
    prey = any(item.prey for item in words.items if item.kind != "name") or words.any(
        "feeders", "food", "livefood", "live food", "bugs"
    )
    if (
        prey
        and words.any("how many", "how much")
        and not any(item.kind == "name" for item in words.items)
        and kind in {None, "feeding"}
        and any(item.date and (item.date.days or item.date.until) for item in words.items)
    ):
        return True
    needing = words.any(
        "need",
        "order",
        "buy",
        "get",
        "use",
        "require",
        "last me",
        "go through",
        "get through",
        "enough",
        "going to need",
        "pick up",
        "needed",
        "plan on",
        "should i",
        "get in",
        "stock up",
    )
    return (
        prey
        and needing
        and words.any(
            "how many", "how much", "what", "have i got enough", "enough", "do i need", "many", "needed", "how much"
        )
    )


def _is_day(words: Words, _kind: str | None) -> bool:
    whole = words.any(
        "what did i do",
        "what did we do",
        "what have i done",
        "what have we done",
        "what was done",
        "what did i log",
        "what was logged",
        "what got done",
        "what happened",
        "what did i get done",
        "what have i logged",
        "what went on",
    )
    return whole and not any(item.kind == "name" for item in words.items)


def _is_help(words: Words, _kind: str | None) -> bool:
    return words.any(
        "what can you do",
        "what can i say",
        "what can i ask",
        "how do you work",
        "how does this work",
        "how do i use you",
        "what do you do",
        "what can i type",
        "help me",
    )


def _is_why(words: Words, _kind: str | None) -> bool:
    return words.any("why", "how come", "what makes", "how do you know", "where did you get", "where does that")


def _is_who(words: Words, kind: str | None) -> bool:
    asked = words.any(
        "who",
        "which",
        "which ones",
        "whose",
        "anyone",
        "anybody",
        "any one",
        "has anyone",
        "what tubs",
        "what groups",
        "what animals",
        "which of",
        "list everyone",
        "list the ones",
        "list those",
    )
    if words.any("anyone", "anybody") and (words.any("due", "overdue") or _subjects(words.items)):
        return False
    return (
        asked
        and (kind is not None or words.any("eaten", "eat", "not eaten"))
        and not words.any("due", "overdue", "needs", "need")
    )


def _is_next(words: Words, kind: str | None) -> bool:
    coming = words.any(
        "next",
        "when should",
        "when do i need",
        "when does",
        "when do",
        "when is",
        "when am i",
        "when will",
        "when are",
        "due next",
        "how soon",
        "when can i",
    )
    past = words.any("last", "did", "was", "were", "ago", "had", "has", "have", "eaten", "fed last")
    return (
        coming
        and kind is not None
        and (not past or words.any("next"))
        and not (words.any("next") is False and words.any("how long"))
    )


def _is_due(words: Words, _kind: str | None) -> bool:
    if words.any(
        "due",
        "overdue",
        "outstanding",
        "behind",
        "to do list",
        "todo list",
        "on the list",
        "jobs",
        "chores",
        "tasks",
        "agenda",
    ):
        return True
    needs = words.any("needs", "need")
    doing = words.any(
        "do",
        "doing",
        "done",
        "feeding",
        "misting",
        "watering",
        "attention",
        "cleaning",
        "fed",
        "food",
        "water",
        "doing today",
        "see to",
        "seeing to",
    )
    return words.any(
        "what", "who", "anything", "anyone", "which", "does anyone", "does anything", "what is on", "anybody"
    ) and (
        needs
        and doing
        or words.any(
            "what is left to do",
            "what have i got to do",
            "what do i have to do",
            "what should i do",
            "what is on today",
            "what is on for",
            "what is planned",
            "to do",
            "what must i do",
            "what is next",
            "what must be done",
            "must be done",
            "have to be done",
            "to be done",
            "needs to be done",
            "left to do",
        )
    )


def _is_climate(words: Words, _kind: str | None) -> bool:
    return bool(CLIMATE_WORDS & set(words.texts)) or any(item.thing("temperature", "humidity") for item in words.items)


def _is_size(words: Words, kind: str | None) -> bool:
    asked = words.any(
        "how",
        "what",
        "what is",
        "size of",
        "size",
        "weight of",
        "legspan of",
        "last",
        "show me",
        "current",
        "latest",
        "is",
        "does",
    )
    measured = bool(SIZE_WORDS & set(words.texts)) or any(
        item.thing("legspan", "body", "weight") and item.kind == "word" for item in words.items
    )
    when = words.any(
        "when did",
        "when was",
        "last weighed",
        "last measured",
        "when were",
        "how long since",
        "how long ago",
        "how long is it since",
        "how long has",
        "who",
        "which",
        "did i",
        "did we",
        "have i",
        "have we",
    )
    return (
        asked
        and measured
        and not when
        and (kind in {None, "measurement", "count"} or bool({"big", "heavy", "large"} & set(words.texts)))
    )


def _is_headcount(words: Words, kind: str | None) -> bool:
    if words.any(
        "how many times", "how many days", "how many weeks", "how many eggs", "how many moults", "how many molts"
    ):
        return False
    many = words.any(
        "how many",
        "headcount",
        "head count",
        "count for",
        "how many are",
        "number of",
        "what is the count",
        "current count",
        "how large is the group",
        "heads",
        "tally",
        "how many have",
    )
    return many and kind not in {"moult", "death", "sac", "departure", "arrival", "misting"}


def _is_last(words: Words, kind: str | None) -> bool:
    asked = words.any(
        "when",
        "how long since",
        "how long is it since",
        "how long ago",
        "last",
        "how long has it been",
        "how long has",
        "how many days since",
        "most recent",
        "latest",
        "how long",
        "what date",
        "what day",
        "which day",
        "days since",
        "what was the last",
        "last time",
        "how many weeks since",
        "how long have",
    )
    return asked and kind is not None


def _is_history(words: Words, kind: str | None) -> bool:
    if words.any("where") and any(item.kind == "name" for item in words.items) and kind is None:
        return True
    if words.any("what happened", "what has happened", "what went on", "what is new") and any(
        item.kind == "name" for item in words.items
    ):
        return True
    shown = words.any(
        "show",
        "show me",
        "history",
        "log",
        "logs",
        "list",
        "records",
        "record",
        "timeline",
        "entries",
        "notes",
        "pull up",
        "bring up",
        "everything",
        "summary",
        "story",
        "diary",
        "look up",
        "what did we log",
        "what has",
        "what have",
        "happened",
        "been up to",
        "going on",
        "update on",
        "what is new",
        "logged",
        "print",
        "up to",
        "can i see",
        "let me see",
        "give me",
    )
    return shown and (
        kind is None
        or words.any(
            "history",
            "log",
            "logs",
            "show",
            "show me",
            "records",
            "record",
            "timeline",
            "entries",
            "list",
            "what did we log",
            "pull up",
            "can i see",
            "logged",
            "everything",
            "happened",
            "bring up",
            "give me",
        )
    )


def _is_did(words: Words, kind: str | None) -> bool:
    return kind is not None


RULES = (
    ("help", _is_help),
    ("why", _is_why),
    ("feeders", _is_feeders),
    ("day", _is_day),
    ("who", _is_who),
    ("next", lambda words, kind: words.any("next") and _is_next(words, kind) and not words.any("last time")),
    ("due", _is_due),
    ("next", _is_next),
    (
        "history",
        lambda words, kind: (
            words.any(
                "history",
                "log for",
                "show me",
                "show",
                "timeline",
                "entries",
                "records",
                "pull up",
                "bring up",
                "can i see",
                "log",
                "everything",
                "give me",
            )
            and _is_history(words, kind)
        ),
    ),
    ("climate", _is_climate),
    ("size", _is_size),
    ("headcount", _is_headcount),
    ("last", _is_last),
    ("history", _is_history),
    ("did", _is_did),
    (
        "history",
        lambda words, kind: kind is None and words.any("what") and any(item.kind == "name" for item in words.items),
    ),
)


def _subjects(items: list[Item]) -> tuple[str, ...]:
    spans = [item.name for item in items if item.kind == "name" and item.name and item.name.how != "all"]
    return tuple(dict.fromkeys(subject for span in spans for subject in span.subjects))


def doubtful(items: list[Item]) -> tuple[str, ...]:
    """Names of which only one is meant, where a question leaves it open."""
    return next((item.name.subjects for item in items if item.name and item.name.how == "either"), ())


def _span(words: Words, about: str, today: date) -> tuple[date | None, date | None, int | None]:
    """since, until, days of a question (the parse contract's rules)."""
    item = next(
        (
            item
            for item in words.items
            if item.date and (item.date.on or item.date.days or item.date.since or item.date.vague)
        ),
        None,
    )
    if item is None or item.date is None or about in {"next", "size", "headcount", "climate", "why", "due", "help"}:
        return _feeder_days(words, item, about)
    spans = [other.date for other in words.items if other.date]
    span = item.date
    if about == "feeders":
        return _feeder_days(words, item, about)
    if about == "last":
        return None, None, None
    closing = next((other for other in spans if other.till and other.on), None)
    if span.since and span.on:
        return span.on, (closing.until or closing.on) if closing else None, None
    words_said = item.text.lower()
    if re.match(r"(?:so far |for |in |during )?this (?:week|wk|month|mth|year|yr)\b", words_said) and span.on:
        return span.on, None, None
    if span.days and not _calendar_period(words_said):
        return None, None, span.days
    if span.on is None:
        return None, None, None
    if span.until and span.until != span.on:
        return (
            span.on,
            closing.on
            if closing and closing.on and closing.on > span.until
            else min(span.until, max(today, span.on))
            if _open(span.until, today)
            else span.until,
            None,
        )
    if closing and closing.on:
        return span.on, closing.until or closing.on, None
    if span.on == today:
        return span.on, None, None
    return span.on, span.on, None


def _open(until: date, today: date) -> bool:
    return until > today


def _calendar_period(words: str) -> bool:
    return any(period in words for period in ("last week", "last month", "last year", "weekend", "january", "february"))


def _feeder_days(words: Words, item: Item | None, about: str) -> tuple[None, None, int | None]:
    if about != "feeders":
        return None, None, None
    if item is not None and item.date and item.date.days:
        return None, None, item.date.days
    if item is not None and item.date and item.date.on and item.date.until:
        return None, None, (item.date.until - item.date.on).days + 1
    if words.any("fortnight"):
        return None, None, 14
    if words.any("week", "weekly", "a week", "per week", "weeks"):
        return None, None, 7
    if words.any("month", "monthly"):
        return None, None, 30
    if item is not None and item.date and item.date.on:
        return None, None, 1
    return None, None, None
