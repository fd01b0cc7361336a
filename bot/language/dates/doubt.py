"""Whether a word that is only sometimes a date stands where a date stands: "may", "sat", "the second", "4 mar"."""

from __future__ import annotations

from bot.language.dates.scan import Scan

BEFORE_DAYS = frozenset(
    {
        "on",
        "since",
        "until",
        "till",
        "by",
        "from",
        "this",
        "last",
        "next",
        "coming",
        "past",
        "every",
        "each",
        "before",
        "after",
        "following",
        "for",
    }
)
PAST_FORMS = frozenset(
    {"ate", "took", "gave", "got", "laid", "found", "saw", "had", "sold", "bought", "did", "hatched", "died"}
)
NEVER_AFTER_MAY = frozenset(
    {
        "i",
        "she",
        "he",
        "it",
        "they",
        "we",
        "not",
        "or",
        "just",
        "only",
        "also",
        "both",
        "all",
        "too",
        "though",
        "as",
        "again",
    }
)
BEFORE_MONTHS = frozenset(
    {
        "in",
        "of",
        "since",
        "until",
        "till",
        "by",
        "from",
        "during",
        "through",
        "last",
        "next",
        "mid",
        "early",
        "late",
        "to",
        "throughout",
        "before",
        "after",
    }
)


def weekday_stands(scan: Scan, first: int, last: int) -> bool:
    """Whether the short weekday at `first` ("sat", "sun", "mon", "wed") is a day here and not a verb or a name."""
    if not scan.listed(first, "doubtful"):
        return True
    before, after = scan.word(first - 1), scan.word(last)
    if before in BEFORE_DAYS or _in_list(scan, first, last):
        return True
    if _time_follows(scan, last):
        return before != "the" and not scan.listed(first - 1, "subjects")
    if scan.word(first) in {"mon", "wed"} and before != "the" and after != "to" and clause_follows(scan, last):
        return True
    if first == 0 or scan.ends(first):
        return scan.ends(last) or scan.listed(last, "acts") or after == "the"
    return scan.ends(last) and scan.acts and not scan.listed(first - 1, "subjects")


def _in_list(scan: Scan, first: int, last: int) -> bool:
    """Whether another weekday stands beside it: "sat and sun", "fri/sat"."""
    and_ = {"and", "&", "/", "or", ",", "-", "to"}
    weekdays = scan.tables.weekdays
    follows = scan.word(last) in and_ and scan.word(last + 1) in weekdays
    return follows or (scan.word(first - 1) in and_ and scan.word(first - 2) in weekdays)


def _time_follows(scan: Scan, at: int) -> bool:
    """Whether a part of the day, a clock time or a day of the month comes next: "sat night", "sat 9pm", "sat 14th"."""
    word = scan.word(at)
    if word in scan.tables.parts or word == "at" or word in scan.tables.months:
        return True
    step = at + 3 if scan.word(at + 1) in {":", "."} else at + 1
    if scan.number(at) is not None:
        return scan.word(step) in {"am", "pm", "st", "nd", "rd", "th"} or (
            scan.word(at + 1) == ":" and scan.glued(at + 1)
        )
    return word == "the" and scan.number(at + 1) is not None


def month_stands(scan: Scan, first: int, last: int) -> bool:
    """Whether a lone month ("march", "may", "mar") names a month here."""
    before = scan.word(first - 1)
    if before == "the" and scan.word(first - 2) == "in":
        return True
    if scan.listed(first, "doubtful"):
        return before in BEFORE_MONTHS or (first == 0 and scan.ends(last) and last >= len(scan))
    return before in BEFORE_MONTHS or before == "all" or (first == 0 and last >= len(scan))


def plain_day_stands(scan: Scan, first: int, month: int, last: int) -> bool:
    """Whether a plain figure at `first` beside the month at `month` is its day: "4 may", "3 mar" but not "tub 4 may need"."""
    if scan.listed(first - 1, "places") and not scan.ends(first):
        return False
    if not scan.listed(month, "doubtful"):
        return True
    return month_clause_follows(scan, month, last) or scan.word(first - 1) in {
        "on",
        "since",
        "by",
        "until",
        "till",
        "from",
        "the",
    }


def month_clause_follows(scan: Scan, month: int, last: int) -> bool:
    """As `clause_follows`, but after "may" only a past form or a small word: "9 may moult" is no date."""
    word = scan.word(last)
    if scan.word(month) != "may":
        return clause_follows(scan, last)
    if scan.listed(last, "acts"):
        return word.endswith("ed") or word in PAST_FORMS
    return clause_follows(scan, last) and (word not in NEVER_AFTER_MAY or scan.ends(last))


def clause_follows(scan: Scan, at: int) -> bool:
    """Whether what follows begins something new, so that the words before may be a date by themselves."""
    if scan.ends(at) or scan.listed(at, "follow") or scan.listed(at, "acts"):
        return True
    word = scan.word(at)
    tables = scan.tables
    return (
        word in tables.parts
        or word in tables.weekdays
        or word in {"noon", "early", "late", "yesterday", "tomorrow", "today"}
        or scan.digits(at) == 4
        or (scan.number(at) is not None and scan.word(at + 1) in {":", "am", "pm"})
    )


def ordinal_stands(scan: Scan, first: int, last: int, *, named: bool) -> bool:
    """Whether a bare "the 14th" is a day of the month; `named` where "on the" leads to it. "fed the 3rd" tells which one."""
    if scan.word(scan.skip_back(first - 1, "the")) in {
        "fed",
        "misted",
        "gave",
        "moved",
        "watered",
        "cleaned",
        "sold",
        "checked",
        "weighed",
        "refused",
        "took",
        "ate",
    }:
        return False
    return named or clause_follows(scan, last)
