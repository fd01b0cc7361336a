"""Questions for a hand-over sheet: "sheet for B", "hand-over sheet for Mabel without photos", "a sheet for the ones I sold to Rui".

A care sheet is asked for by that name or with "what": "show the care sheet for B", "what is on the sheet for B". A sentence
asks for a hand-over sheet only where it is led by that name, or where every word of it fits: "put a sheet of bark in tub 4" does not.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.language.ask_words import SpecialAsk, Words
from bot.language.care_words import SHEET_SURELY

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bot.language.items import Item

SECTION_WORDS: Mapping[str, tuple[str, ...]] = {
    "origin": ("origin", "origins", "brood", "broods", "lineage", "parents", "parentage", "background", "sac", "sacs"),
    "heads": ("head count", "headcount", "head counts", "count", "counts", "numbers", "losses", "deaths", "heads"),
    "moults": ("moults", "moult", "molts", "molt", "moulting", "skins", "sheds"),
    "sizes": ("measurements", "measurement", "measures", "sizes", "size", "weights", "weight", "growth", "legspan", "legspans"),
    "feeding": ("feeding", "feedings", "food", "meals", "feeding summary", "diet", "feeds"),
    "housing": ("housing", "climate", "humidity", "enclosure", "temperature", "temps", "readings", "setup"),
    "pictures": ("pictures", "picture", "photos", "photo", "pics", "pic", "images"),
    "cautions": ("cautions", "caution", "warnings", "warning"),
    "notes": ("notes", "note", "remarks"),
    "names": ("names", "name", "buyers", "sellers", "people", "from whom", "who from"),
}  # fmt: skip
"""Words for what stands on a sheet."""

_NAMED_SHEET = (
    r"(?:(?:hand over|handover|handing over|hand on|passing on|pass on|sale|sales|selling|transfer|buyer s|buyers|"
    r"new owner|new owner s|new keeper|new keeper s|new home|history|info|information|data|fact|summary|record) )"
)
_SURELY = r"(?:hand over|handover|handing over|transfer|new owner s?|new keeper s?|buyer s?)"
_SHEET = rf"(?:{_NAMED_SHEET}?sheets?(?: pdf)?|{_NAMED_SHEET}?pdf)"
# Where words may come again and again, each stands in one alternative alone: else a long text could be read in endless ways.
_POLITE = (
    r"(?:i had like )?(?:(?:please|pls|plz|can|could|would|will|may|you|i|we|want|need|like|have|get|give|make|made|print|out|send|show|create|"
    r"prepare|write|up|put|together|draw|do|export|me|us|let|for|a|an|the|my|our|now|ok|okay|hey|hi|and|so|just|1|one|full|whole|"
    r"short|new|thanks|thank|it|as|u) )*"
)
_WHOSE = r"(?:@|it|them|her|him|this one|that one|this|these|here)"
_NO_TAKER = "(?!(?:with|without|only|no|but|just|minus|plus|including|please|from|of|out|away)\\b)"
_TAKER = rf"{_NO_TAKER}[^\s@#]+(?: {_NO_TAKER}[^\s@#]+){{0,2}}"
_COUNTED = r"(?:(?:\d+|two|three|four|five|six|seven|eight|nine|ten|dozen|few|some|pair) )?"
_WENT = r"(?:sold|gave away|gave|given away|given|swapped|traded|passed on|handed over|rehomed|went|gone|going)"
_LOT = (
    rf"(?:for |of |about )?(?:the |those |my |all )*{_COUNTED}(?:of )?(?:@ )?(?:the )?"
    r"(?:ones|one|lot|group|animals?|young|slings?|spiders?|babies|pair|@)?(?: (?:from|of|out of) @)? ?(?:that |which )?"
    rf"(?:(?:i |we |have |ve |got |are |were )*{_WENT}(?: (?:from|of|out of) @)?(?: (?:(?:to|for) )?(?!to |for )(?P<taker>{_TAKER}))?"
    r"|(?P<buyer>[^\s@#]+(?: [^\s@#]+)?) (?:bought|got|took|has bought|has taken))(?: #)?"
)
_OPTION = (
    r"(?:with|with o|without|no|only|just|minus|leave out|leaving out|leave off|not|except|plus|including|include|incl)"
)
_SECTION = "|".join(
    re.escape(word) for words in SECTION_WORDS.values() for word in sorted(words, key=lambda word: -len(word))
)
_ITS = r"(?:(?:the|any|all|its|their|my|own|private) )*"
_SECTIONS = rf"{_ITS}(?:{_SECTION})(?: (?:(?:and|or|nor|&) )?{_ITS}(?:{_SECTION}))*"
_CHOICE = rf"(?:{_OPTION} {_SECTIONS}|{_SECTIONS} (?:only|alone|too|as well)|with everything|with all)"
_OPTIONS = rf"(?P<options>(?: (?:(?:and|but|&) )?{_CHOICE})*)"
_FOR_WHOM = r"(?: (?:for|to) (?!@)(?:the |a |my |its |their )?(?:new )?[^\s@#]+(?: [^\s@#]+)?)?"
_TAIL = r"(?: please| pls| plz| thanks| thank you| now| as (?:a )?pdf)*"

_FORMS = tuple(
    f"{_POLITE}{form}{_OPTIONS}{_TAIL}"
    for form in (
        rf"{_SHEET} {_LOT}",
        rf"{_SHEET} (?:(?:for|of|on|about) )?(?:the )?(?:new (?:owner|keeper|home) of )?{_WHOSE}(?: s)?(?: history)?(?: #)?{_FOR_WHOM}",
        rf"@(?: s)? {_SHEET}(?: #)?{_FOR_WHOM}",
        rf"{_NAMED_SHEET}sheets?",
    )
)
_PICKED = rf"(?:(?P<option>{_OPTION}) (?P<sections>{_SECTIONS})|(?P<named>{_SECTIONS}) (?P<after>only|alone|too|as well))(?= |$)"
_ONE_SECTION = rf"\b(?:{_SECTION})\b"
_SURELY_SAID = rf"\b{_SURELY} (?:sheets?|pdf)\b"
_SURELY_LED = rf"{_POLITE}(?:@(?: s)? )?{_SURELY} (?:sheets?|pdf)\b"
_ASKING_WHAT = r"(?:what|which|how|when|who|why|where|did|does|is|has)\b"
"""Plain text, which the library compiles when it is first used: few messages ask for a sheet, and all would wait for that."""

_ONLY = frozenset({"only", "just", "alone"})
_WITHOUT = frozenset(
    {"without", "with o", "no", "but no", "minus", "leave out", "leaving out", "leave off", "not", "except"}
)


def _line(words: Words) -> str:
    """The sentence with "@" for names and "#" for days, marks left out."""
    return " ".join(_word(item) for item in words.items if item.kind != "mark")


def _word(item: Item) -> str:
    if item.kind == "name":
        return "ones" if _is_bare(item) else "@"
    return "#" if item.kind == "date" else item.text.lower().replace("-", " ").replace("'", "")


def _is_bare(item: Item) -> bool:
    """Whether a name is no more than "the ones", which may be a part of somebody's: "the shy ones"."""
    return item.text.lower() in {"ones", "the ones", "one", "the one", "those"}


def _form(words: Words) -> re.Match[str] | None:
    """The sentence as a request for a hand-over sheet; None where it is none."""
    line = _line(words)
    if "sheet" not in line and "pdf" not in line:
        return None
    return next((found for form in _FORMS if (found := re.fullmatch(form, line))), None)


def _is_handover(words: Words, _kind: str | None) -> bool:
    if words.any(*SHEET_SURELY):
        return False
    line = _line(words)
    return _form(words) is not None or (
        words.named and re.search(_SURELY_SAID, line) is not None and re.match(_ASKING_WHAT, line) is None
    )


def _outright(words: Words) -> bool:
    """Whether a sentence asks for a sheet and tells nothing: each word fits, or it is led by the sheet's own name."""
    if words.any(*SHEET_SURELY):
        return False
    told = any(item.forms and item.forms <= {"past"} for item in words.items)
    led = words.named and not told and re.match(_SURELY_LED, _line(words)) is not None
    return led or _form(words) is not None


def _fields(words: Words) -> Mapping[str, Any]:
    """`only`, `without` and `including` with the sections named; of a lot also to whom they went (`lot`, may be "") and `of` whom."""
    found = _form(words)
    fields: dict[str, Any] = {}
    options = _line(words) if found is None else found["options"]
    for picked in re.finditer(_PICKED, options):
        option = picked["option"] or picked["after"]
        key = "only" if option in _ONLY else "without" if option in _WITHOUT else "including"
        sections = [section_named(one[0]) for one in re.finditer(_ONE_SECTION, picked["sections"] or picked["named"])]
        fields[key] = tuple(dict.fromkeys([*fields.get(key, ()), *(one for one in sections if one)]))
    if found is not None and found.re.pattern == _FORMS[0]:
        names = [item.name for item in words.items if item.kind == "name" and item.name and not _is_bare(item)]
        fields["lot"] = (found["taker"] or found["buyer"] or "").strip()
        fields["of"] = tuple(dict.fromkeys(subject for name in names for subject in name.subjects))
    return fields


def section_named(word: str) -> str | None:
    """The section of a sheet that a word names, by its own key or in words; None for a word that names none."""
    said = " ".join(word.lower().replace("-", " ").split())
    return next((section for section, words in SECTION_WORDS.items() if said == section or said in words), None)


ASKS: tuple[SpecialAsk, ...] = (SpecialAsk("handover", _is_handover, _fields, _outright),)
