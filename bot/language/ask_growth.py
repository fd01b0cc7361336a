"""Questions about broods, growth, crowding, and how they compare."""

from __future__ import annotations

from itertools import takewhile
from typing import TYPE_CHECKING, Any

from bot.language.ask_words import SpecialAsk, Words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bot.language.items import Item

LOSSES = (
    "survival", "survival rate", "survived", "surviving", "survive", "survivors", "survivor", "mortality", "death rate",
    "losses", "loss rate", "losing rate", "made it", "make it", "pulled through", "making it",
)  # fmt: skip
"""Words of which each asks how many lived, where anything is asked."""

LOSSES_OUTRIGHT = ("survival", "survival rate", "mortality", "death rate", "loss rate", "losses")
"""Those of them that stand in no report of what was done, where neither a number nor a day stands beside them."""

BROOD_WORDS = ("brood", "broods", "clutch", "batch", "hatch", "litter")
FARING = (
    "doing", "doin", "getting on", "getting along", "coming on", "coming along", "faring", "fare", "fared", "going", "looking",
    "holding up", "do", "did",
)  # fmt: skip
COMPARING = (
    "compare", "comparison", "vs", "versus", "compared to", "compared with", "compares", "comparing", "v",
    "difference between", "better than", "worse than", "bigger than", "larger than", "smaller than", "than",
    "stack up", "against",
)  # fmt: skip
COMPARED_OUTRIGHT = ("compare", "comparison", "vs", "versus")
OF_SIZE = (
    "size", "sizes", "bigger", "larger", "smaller", "length", "lengths", "legspan", "legspans", "weight", "weights",
    "heavier", "lighter", "growth", "growing", "grown", "grow", "grew", "body length", "dls",
)  # fmt: skip
FASTER = ("faster", "slower", "quicker")
OF_LOSSES = ("survival", "losses", "deaths", "mortality", "better", "worse", "survive", "survived", "doing", "lost")
GROWTH = (
    "growth", "growing", "grown", "grow", "grew", "growth rate", "instar", "instars", "size spread", "spread of sizes",
    "size range", "size gap", "how even", "uneven", "same size", "runt", "runts", "size ratio",
)  # fmt: skip
GROWTH_OUTRIGHT = ("growth rate", "size spread", "spread of sizes", "size range", "size gap", "growth", "instar")
CROWDING = (
    "crowded", "overcrowded", "over crowded", "crowding", "overcrowding", "density", "densities", "cramped", "packed",
    "overstocked", "stocking", "how much room", "how much space", "room enough", "space enough", "enough room",
    "enough space", "too tight", "floor space",
)  # fmt: skip
PER_SPACE = (
    "per dm",
    "per dm2",
    "per litre",
    "per liter",
    "per square",
    "per head",
    "each has",
    "per animal",
    "per cm",
)
CROWDING_OUTRIGHT = ("density", "stocking density", "crowding")
BEFORE_A_REQUEST = frozenset(
    {"please", "can", "can you", "could", "could you", "you", "ok", "okay", "hey", "and", "now", "so", "hi", "a", "the"}
)
JOINING = frozenset({"of", "in", "for", "the", "my", "'s", "please"})
TOLD = frozenset({"past"})
"""The form of a verb that tells; a noun phrase with one is a report."""


def _opens(words: Words, openers: tuple[str, ...]) -> bool:
    """Whether a sentence begins with one of these, a polite word before it left aside."""
    texts = [text for text in words.texts if text not in {",", ":"}]
    lead = len(list(takewhile(lambda text: text in BEFORE_A_REQUEST, texts)))
    joined = " ".join(texts[lead:]) + " "
    return any(joined.startswith(f"{opener} ") for opener in openers)


def _tells(words: Words) -> bool:
    """Whether a verb in the past, a number or a day makes a report of a noun phrase: "growth 12 mm in D"."""
    return any(item.kind in {"number", "date"} or (item.forms and item.forms <= TOLD) for item in words.items)


def _is_phrase(words: Words, phrases: tuple[str, ...]) -> bool:
    """Whether a sentence is nothing but one of these and names: "survival of brood 7", "density"."""
    rest = [item.text for item in words.items if item.kind not in {"name", "mark"} and item.text not in JOINING]
    return " ".join(rest) in phrases and not _tells(words)


def _names(words: Words) -> list[Item]:
    return [item for item in words.items if item.kind == "name"]


def _several(words: Words) -> bool:
    """Whether at least two are named, or one with a lot that went elsewhere."""
    subjects = {subject for item in _names(words) if item.name for subject in item.name.subjects}
    return len(subjects) > 1 or (bool(subjects) and _lot_said(words) is not None) or words.any("broods", "groups")


def _compares(words: Words, _kind: str | None) -> bool:
    if words.any("when"):
        return False
    either = any(item.name and item.name.how == "either" for item in words.items)
    chosen = either and words.any("better", "worse", *OF_SIZE, *FASTER)
    both = (chosen or (words.any(*COMPARING) and not words.any("who"))) and _several(words)
    return both or _opens(words, ("compare",))


def _compares_outright(words: Words) -> bool:
    opened = _opens(words, ("compare", "comparison"))
    versus = words.any(*COMPARED_OUTRIGHT) and not any(item.forms for item in words.items) and len(_names(words)) > 1
    return opened or versus


def _compared(words: Words) -> Mapping[str, Any]:
    """What is compared (`of`: size or losses; neither said: both), and the lot that went to somebody (`lot`)."""
    lot = _lot_said(words)
    size, losses = words.any(*OF_SIZE, *FASTER), words.any(*OF_LOSSES)
    of = {"of": "size"} if size or lot is not None else {"of": "losses"} if losses else {}
    return of if lot is None else {**of, "lot": lot}


def _lot_said(words: Words) -> str | None:
    """Who got the ones that are compared with: "ana" of "the ones I sold to Ana"; empty where nobody is named."""
    went = next((at for at, item in enumerate(words.items) if item.verb("sell", "giveaway") or _goes(item)), None)
    if went is None:
        return None
    after = words.items[went + 1 :]
    to = next((at for at, item in enumerate(after) if item.text in {"to", "for"}), None)
    if to is None:
        return ""
    said = takewhile(lambda item: item.kind == "plain" and item.text not in {"and", "with"}, after[to + 1 :])
    return " ".join([item.text for item in said if item.text not in {"the", "my"}][:3])


def _goes(item: Item) -> bool:
    return item.text in {"went", "gone", "gave", "given", "sold", "traded", "swapped"}


def _of_losses(words: Words, kind: str | None) -> bool:
    if words.any("when", "who", "which", "why", "last"):
        return False
    if words.any(*LOSSES):
        return True
    counted = words.any("how many") or (words.any("any") and words.named)
    if counted and words.any("lost", "lose", "losing") and kind in {None, "death"}:
        return True
    return words.any("how") and words.any(*FARING) and _of_young(words, kind)


def _of_young(words: Words, kind: str | None) -> bool:
    """Whether a brood is meant by its word or its name: "the slings", "brood 7"."""
    if kind not in {None, "sac"} or any(
        item.verb() and not item.verb("hatch", "get") for item in words.items if item.forms
    ):
        return False
    named = any(set(item.text.split()) & set(BROOD_WORDS) for item in _names(words))
    return named or words.any(*BROOD_WORDS) or any(item.thing("young") for item in words.items)


def _losses_outright(words: Words) -> bool:
    return _is_phrase(words, LOSSES_OUTRIGHT)


def _of_growth(words: Words, kind: str | None) -> bool:
    if words.any("when", "who", "why", "did"):
        return False
    return words.any(*GROWTH) and kind in {None, "measurement"}


def _growth_outright(words: Words) -> bool:
    asked = _opens(words, ("how fast", "how even", "what", "which")) and words.any(*GROWTH)
    return words.named and (asked or _is_phrase(words, GROWTH_OUTRIGHT))


def _of_crowding(words: Words, _kind: str | None) -> bool:
    if words.any("when", "who"):
        return False
    hides = words.any("hides", "hideouts", "retreats") and words.any("how many", "enough")
    return hides or words.any(*CROWDING) or (words.any(*PER_SPACE) and words.any("how many", "space", "room"))


def _crowding_outright(words: Words) -> bool:
    return _is_phrase(words, CROWDING_OUTRIGHT) or (words.any("how crowded") and not _tells(words))


ASKS: tuple[SpecialAsk, ...] = (
    SpecialAsk("compare", _compares, _compared, _compares_outright),
    SpecialAsk("losses", _of_losses, outright=_losses_outright),
    SpecialAsk("crowding", _of_crowding, outright=_crowding_outright),
    SpecialAsk("size", _of_growth, outright=_growth_outright),
)
