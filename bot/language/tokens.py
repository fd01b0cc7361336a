"""Text to tokens: words in lower case, numbers and marks, each with its place in the message as it was typed."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

PATTERN = re.compile(
    r"""
    (?P<odd>(?:str8|in2|w/(?!e\b))(?![a-z0-9]))
  | (?P<chain>\d+(?:,\d{1,2}){2,}(?!\d))
  | (?P<owner>\d+(?='s(?![a-zà-öø-ÿ])))(?:'s)
  | (?P<number>\d+(?:[.,]\d+)?(?![.,]?\d)|\d+|[½¼¾])
  | (?P<word>[a-zà-öø-ÿ]+(?:'[a-zà-öø-ÿ]+)*'?)
  | (?P<mark>\n+|[^\s])
    """,
    re.VERBOSE,
)
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("\u2019\u2018`\u00b4", "'"),
        **dict.fromkeys("\u2013\u2014\u2212", "-"),
        **dict.fromkeys("\u201c\u201d\u2033", '"'),
    }
)

CONTRACTIONS: dict[str, tuple[str, ...]] = {
    "can't": ("can", "not"), "cant": ("can", "not"), "won't": ("will", "not"), "wont": ("will", "not"), "cannot": ("can", "not"),
    "didnt": ("did", "not"), "didn": ("did", "not"), "hasnt": ("has", "not"), "havent": ("have", "not"), "hadnt": ("had", "not"),
    "isnt": ("is", "not"), "arent": ("are", "not"), "wasnt": ("was", "not"), "werent": ("were", "not"), "aint": ("is", "not"),
    "ain't": ("is", "not"), "dont": ("do", "not"), "doesnt": ("does", "not"), "wouldnt": ("would", "not"), "couldnt": ("could", "not"),
    "shouldnt": ("should", "not"), "neednt": ("need", "not"), "ive": ("i", "have"), "weve": ("we", "have"), "theyve": ("they", "have"),
    "im": ("i", "am"), "i'm": ("i", "am"), "youre": ("you", "are"), "theyre": ("they", "are"), "whats": ("what", "is"), "whys": ("why", "is"),
    "whens": ("when", "is"), "hows": ("how", "is"), "whos": ("who", "is"), "wheres": ("where", "is"), "thats": ("that", "is"),
    "theres": ("there", "is"), "shes": ("she", "is"), "hes": ("he", "is"), "lets": ("let", "us"), "let's": ("let", "us"),
    "gonna": ("going", "to"), "gotta": ("have", "to"), "wanna": ("want", "to"), "dunno": ("do", "not", "know"), "n": ("and",),
    "thx": ("thanks",), "pls": ("please",), "plz": ("please",), "w": ("with",), "wi": ("with",), "hw": ("how",), "wht": ("what",), "whn": ("when",), "wiv": ("with",), "abt": ("about",), "btw": (), "&amp": ("and",),
    "wats": ("what", "is"), "wat": ("what",), "gimme": ("give", "me"), "xcept": ("except",), "nxt": ("next",), "rn": ("now",),
    "em": ("them",), "'em": ("them",), "dis": ("this",), "u": ("you",), "ya": ("you",), "cuz": ("because",), "coz": ("because",), "bc": ("because",),
    "prob": ("probably",), "prolly": ("probably",), "def": ("definitely",), "tho": ("though",), "thru": ("through",), "wen": ("when",), "wots": ("what", "is"),
    "wot": ("what",), "woz": ("was",), "av": ("have",), "ad": ("had",), "wud": ("would",), "shud": ("should",), "cud": ("could",), "gud": ("good",),
    "pic": ("picture",), "cos": ("because",), "lotsa": ("lots", "of"), "outta": ("out", "of"), "kinda": ("kind", "of"), "whatd": ("what", "did"),
    "remindme": ("remind", "me"), "howmany": ("how", "many"), "alot": ("a", "lot"), "abit": ("a", "bit"), "rem": ("remember",), "sry": ("sorry",), "soz": ("sorry",), "rmbr": ("remember",),
    "owt": ("anything",), "nowt": ("nothing",), "summat": ("something",), "hasn": ("has", "not"),
    "doin": ("doing",), "goin": ("going",), "feedin": ("feeding",), "havin": ("having",), "yall": ("you",), "imma": ("going", "to"), "finna": ("going", "to"),
}  # fmt: skip
CHANGING = frozenset({*CONTRACTIONS, "two", "eight", "y"})
"""Plain words that may become others; all other words of unaccented small letters stand for themselves."""

DRAWN_OUT = re.compile(r"([^\W\d_])\1{2,}")
"""A letter written three times or more, as no word has it: "soooo", "fridayyy"."""

NO_WORD = re.compile(r"noo+|aw+|ugh+")
"""A cry, which denies nothing."""

ENDINGS = {"'ve": "have", "'ll": "will", "'re": "are", "'d": "had", "'m": "am"}
SMALL_NUMBERS = {"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "a"}
DETERMINERS = {"the", "a", "an", "my", "his", "her", "our", "their", "new", "bigger"}
IS_BEARERS = {
    "it", "he", "she", "that", "what", "when", "how", "who", "where", "there", "here", "everyone", "everything", "why",
}  # fmt: skip
WHY_FOLLOWERS = {"is", "did", "was", "has", "are", "does", "do", "not"}


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or mark. `text` is what rules compare; start and end are characters in the message."""

    text: str
    start: int
    end: int
    kind: str  # word, number, mark
    raw: str
    value: float | None = None
    possessive: bool = False
    glued: bool = False


def _number(raw: str) -> float:
    return FRACTIONS[raw] if raw in FRACTIONS else float(_decimal(raw))


def _decimal(raw: str) -> str:
    """A comma stands for a decimal point, unless exactly three figures follow it (1,000)."""
    whole, comma, rest = raw.partition(",")
    if comma and len(rest) == 3 and whole != "0":
        return whole + rest
    return raw.replace(",", ".")


def _word_texts(word: str) -> tuple[tuple[str, ...], bool]:
    """The words that one written word stands for, and whether it was a possessive."""
    word = DRAWN_OUT.sub(r"\1", "oh" if NO_WORD.fullmatch(word) else word)
    if word in CONTRACTIONS:
        return CONTRACTIONS[word], False
    if word.endswith("n't"):
        return (word[:-3], "not"), False
    for ending, full in ENDINGS.items():
        if word.endswith(ending):
            return (word[: -len(ending)], full), False
    if word.endswith("'s"):
        stem = word[:-2]
        return ((stem, "is"), False) if stem in IS_BEARERS else ((stem,), True)
    return (word.rstrip("'").replace("'", ""),), word.endswith("'")


def tokenise(text: str) -> tuple[Token, ...]:
    """Tokens of a message in order; hyphens between words only part them, and letters part from figures ("t4", "24c")."""
    flat = text.translate(LOOKALIKES).lower()
    if len(flat) != len(text):  # a few letters grow when lowered; offsets must stay true
        flat = "".join(low if len(low := char.lower()) == 1 else char for char in text.translate(LOOKALIKES))
    tokens: list[Token] = []
    for found in PATTERN.finditer(flat):
        tokens.extend(_tokens_of(found, flat, text, tokens))
    return tuple(_sounded(tokens))


def _sounded(tokens: list[Token]) -> list[Token]:
    """Figures and letters that stand for words: "moved 4 2 the spare tub", "roaches 4 the golds", "y is B due"."""
    return [_heard(tokens, at) for at in range(len(tokens) - 1)] + tokens[-1:]


def _heard(tokens: list[Token], at: int) -> Token:
    token, following = tokens[at], tokens[at + 1]
    if token.raw in {"2", "4", "two"} and _is_preposition(tokens, at):
        return replace(token, text="for" if token.raw == "4" else "to", kind="word", value=None)
    if token.text == "eight" and (following.kind == "number" or following.text in SMALL_NUMBERS):
        return replace(token, text="ate")
    if token.text == "had" and token.raw.lower() != "had" and following.text in WOULD_WORDS:
        return replace(token, text="would")
    opens = at == 0 or tokens[at - 1].kind == "mark"
    if token.raw in {"y", "Y"} and opens and following.text in WHY_FOLLOWERS:
        return replace(token, text="why")
    return token


BEFORE_TO = {"going", "remember", "forgot", "ready", "need", "have"}
BARE_VERBS = {
    "feed",
    "mist",
    "check",
    "water",
    "move",
    "weigh",
    "count",
    "do",
    "be",
    "go",
    "rehouse",
    "clean",
    "ask",
    "get",
}
"""Between these a texter's 2 is "to" ("remember 2 mist")."""

WOULD_WORDS = {
    "like", "love", "prefer", "appreciate", "rather", "say", "need", "want", "hate", "expect", "guess", "reckon", "estimate", "think", "be",
}  # fmt: skip
"""Before these "I'd" is "I would"; before any other word it is "I had"."""


def _is_preposition(tokens: list[Token], at: int) -> bool:
    """Whether a 2 or 4 is "to" or "for": after a word, before "the" and its like, or "down 2 5"."""
    if at == 0 or tokens[at - 1].kind != "word" or tokens[at].glued:
        return False
    before, following = tokens[at - 1].text, tokens[at + 1]
    after_need = before in BEFORE_TO and tokens[at].raw == "2" and following.text in BARE_VERBS
    return following.text in DETERMINERS or (before in {"down", "up"} and following.kind == "number") or after_need


def _tokens_of(found: re.Match[str], flat: str, text: str, before: list[Token]) -> list[Token]:
    start, end = found.span()
    raw = text[start:end]
    glued = bool(before) and before[-1].end == start
    if found.lastgroup == "chain":  # "tubs 1,2,4" is a list, not a decimal number
        return [piece for part in re.finditer(r"\d+|,", found.group()) for piece in _piece(part, start, text)]
    if found.lastgroup in {"number", "owner"}:
        return [_figures(found.group(found.lastgroup), start, text, glued=glued, possessive=found.lastgroup == "owner")]
    if found.lastgroup == "odd":
        return [
            Token(
                {"str8": "straight", "in2": "into", "w/": "with"}[found.group()], start, end, "word", raw, glued=glued
            )
        ]
    if found.lastgroup == "word":
        texts, possessive = _word_texts(found.group())
        return [Token(part, start, end, "word", raw, possessive=possessive, glued=glued) for part in texts if part]
    if found.group() == "-" and _joins_words(flat, start):
        return []
    return [Token(found.group()[0], start, end, "mark", raw, glued=glued)]


def _figures(figures: str, start: int, text: str, *, glued: bool, possessive: bool) -> Token:
    """A number; in "tub 2's lid" it owns something."""
    value, end = _number(figures), start + len(figures)
    return Token(f"{value:g}", start, end, "number", text[start:end], value=value, possessive=possessive, glued=glued)


def _piece(part: re.Match[str], offset: int, text: str) -> list[Token]:
    start, end = offset + part.start(), offset + part.end()
    if part.group() == ",":
        return [Token(",", start, end, "mark", ",", glued=True)]
    return [
        Token(part.group(), start, end, "number", text[start:end], value=float(part.group()), glued=part.start() > 0)
    ]


def _joins_words(flat: str, at: int) -> bool:
    """A hyphen inside a compound word ("pre-killed", "40-ish"); not one of a range ("7-9", "A-C") nor a dash."""
    before, after = flat[at - 1 : at], flat[at + 1 : at + 2]
    if not (before.isalnum() and after.isalpha()):
        return False
    lone_letters = not flat[at - 2 : at - 1].isalnum() and not flat[at + 2 : at + 3].isalnum()
    range_of_names = before.isdigit() and flat[at + 2 : at + 3].isdigit()
    return not (lone_letters or range_of_names)


def text_at(tokens: tuple[Token, ...], at: int) -> str:
    """What stands at a place; nothing before the first token and after the last."""
    return tokens[at].text if 0 <= at < len(tokens) else ""


def stands(tokens: tuple[Token, ...], at: int, words: tuple[str, ...]) -> bool:
    """Whether these words stand at a place, in order."""
    return all(text_at(tokens, at + offset) == word for offset, word in enumerate(words))
