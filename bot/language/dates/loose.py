"""Rules for words that tell no one day: "the other day", "can't remember when", and the weak "now" and "from now on"."""

from __future__ import annotations

from bot.language.dates.model import Piece
from bot.language.dates.scan import Scan

VAGUE = (
    ("the", "other", "day"),
    ("the", "other", "week"),
    ("other", "day"),
    ("recently",),
    ("a", "while", "back"),
    ("a", "while", "ago"),
    ("while", "back"),
    ("while", "ago"),
    ("ages", "ago"),
    ("ages", "back"),
    ("some", "time", "ago"),
    ("some", "days", "ago"),
    ("some", "weeks", "ago"),
    ("yesterday", "or", "the", "day", "before"),
    ("sometime",),
    ("some", "time", "last"),
    ("at", "some", "point"),
    ("some", "point"),
    ("one", "day", "last"),
    ("not", "long", "ago"),
    ("long", "ago"),
)
FORGOT = frozenset(
    {
        "remember",
        "recall",
        "knows",
        "forget",
        "forgot",
        "forgotten",
        "sure",
        "know",
        "idea",
        "certain",
        "unsure",
        "say",
        "dunno",
        "clue",
    }
)


def now_word(scan: Scan, at: int) -> Piece | None:
    """Read "now": this very minute, but only weakly; "now" mostly says nothing of the date."""
    if scan.word(at) != "now" or scan.word(at - 1) == "from":
        return None
    now = scan.frame.now.replace(second=0, microsecond=0)
    return Piece("instant", at, at + 1, on=now.date(), moment=now, surely=False)


def from_now_on(scan: Scan, at: int) -> Piece | None:
    """Read "from now on" opens a stretch and gives no day."""
    if scan.word(at) != "from":
        return None
    step = scan.skip(at + 1, "today", "now")
    if step != at + 2 or scan.word(step) not in {"on", "onwards"}:
        return None
    return Piece("opening", at, step + 1, since=True, relation="future")


def vague_words(scan: Scan, at: int) -> Piece | None:
    """Read "the other day", "recently", "ages ago", "can't remember which day": a day that cannot be told."""
    for phrase in VAGUE:
        if scan.word(at) == phrase[0] and scan.phrase(at, *phrase) and scan.word(at - 1) != "how":
            return Piece(
                "vague",
                at,
                at + len(phrase) - (phrase[-1] == "last"),
                vague=True,
                relation="past" if scan.frame.past else None,
            )
    if scan.phrase(at, "the", "other") and scan.word(at + 2) in scan.tables.parts:
        return Piece("vague", at, at + 3, vague=True, part=scan.tables.parts[scan.word(at + 2)], relation="past")
    return _forgotten_day(scan, at)


def _does_not_know(scan: Scan, at: int) -> bool:
    """Whether a word at a position says that something is not known: "forgot", "could not tell you"."""
    denied = any(scan.word(at - back) in {"not", "cannot", "can't", "cant", "couldn't", "couldnt"} for back in (1, 2))
    return scan.word(at) in FORGOT or (scan.word(at) == "tell" and denied)


def _forgotten_day(scan: Scan, at: int) -> Piece | None:
    step = scan.skip(at, "exactly", "what", "which")
    asked = (scan.word(at) in {"which", "what"} and scan.word(step) in {"day", "date", "night"}) or scan.word(
        at
    ) == "when"
    if not asked:
        return None
    before = scan.skip(at, "nothing")
    if any(_does_not_know(scan, before - back) for back in (1, 2, 3)) and (
        scan.word(at) != "when" or scan.ends(at + 1) or scan.phrase(at + 1, "exactly")
    ):
        return Piece("vague", at, max(step + 1, at + 1), vague=True)
    return None
