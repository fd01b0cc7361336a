"""What is said of a message for its words alone, whatever else it tells or asks: the law, medicine, a bite, things from outside.

Such words are few and their matters grave, so they are found by themselves, before the text is read. A sentence that asks
of law or medicine is answered and taken out of the text; all else is read as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from bot.care.cautions import LISTINGS, NO_DOSE, collected_note, harm_note, legal_note
from bot.conversation.answer import Answer
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.smalltalk import NOTHING_WRITTEN
from storage.roster import OccupantRow

_SENTENCE = re.compile(r"[^.!?\n]*(?:\.(?=\d)[^.!?\n]*)*[.!?]*\n?")
_OPENER = re.compile(
    r"\W*(?:(?:so|and|but|hey|hi|also|btw|ok|okay|please|quick question|question|tell me|do you know|any idea)\b[,: ]*)*"
    r"(?:is|are|was|am|do|does|can|could|may|must|should|shall|would|will|what|which|where|how|why|need|any|if|whether"
    r"|(?:il)?legal)\b",
    re.IGNORECASE,
)
_LAW = re.compile(
    r"\b(?:(?:il)?legal(?:ly|ity)?|against the law|(?:the|any|what) laws?|permits?|licen[cs]es?|papers|paperwork|cites"
    r"|certificates? of origin|customs|protected species|dangerous wild animals?"
    r"|(?:import|export|ship|post|mail|send|sell|take|bring)\b.*\b(?:abroad|overseas|(?:to|into|from|out of|within) the"
    r" (?:eu|uk|us|usa|states|country)|another (?:country|state)))\b",
    re.IGNORECASE,
)
_MEDICINE = re.compile(
    r"\b(?:dos(?:e|es|age|ing)|medicines?|medications?|medicate|antibiotics?|painkillers?|antiseptics?|ivermectin"
    r"|metronidazole|fenbendazole|(?:mg|milligrams?)(?:/kg| of| per))\b"
    r"|\b(?:treat|cure)\b(?!.*\bto an?\b).*\b(?:mites?|infection|wound|sick|ill|parasites?|fungus|it|her|him|them)\b"
    r"|\bgive\b.*\b(?:sick|ill|injured|dying|infection|parasites?)\b"
    r"|\b(?:is|are)\b.*\b(?:sick|ill|dying|poisoned)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Advice:
    """Lines that go before the answer to the rest of a text, and after it; `rest` is what of the text is still to be read."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    rest: str

    def around(self, answer: Answer) -> Answer:
        """The answer to the rest with these lines around it, or in its stead where nothing was made of the rest."""
        if self.after and not self.before and answer.reply.text == NOTHING_WRITTEN:
            return replace(answer, reply=Reply("\n".join(self.after)))
        told = answer.followed(Reply("\n".join(self.after))) if self.after else answer
        return told.headed("\n".join(self.before)) if self.before else told


def advise(scene: Scene, text: str) -> Advice:
    """Find what is to be said of a text for its words alone."""
    harm = harm_note(text)
    legal, medical, rest = [], False, []
    for sentence in (found[0] for found in _SENTENCE.finditer(text) if found[0]):
        asks = _OPENER.match(sentence) is not None or sentence.rstrip().endswith("?")
        if asks and _LAW.search(sentence):
            legal += list(_legal(scene, sentence))
        elif asks and _MEDICINE.search(sentence):
            medical = True
        else:
            rest.append(sentence)
    collected = collected_note(text)
    after = [*dict.fromkeys(legal), *([NO_DOSE] if medical else []), *([collected] if collected else [])]
    before = [harm] if harm else []
    return Advice(tuple(before), tuple(after), "".join(rest).strip() if legal or medical else text)


def _legal(scene: Scene, sentence: str) -> Iterator[str]:
    """What is to be said of the law for each species that a sentence is about; at least that the local rules tell."""
    species = dict.fromkeys(_species(scene, sentence))
    notes = dict.fromkeys(legal_note(one, scene.today) for one in species)
    yield from notes or (legal_note(None, scene.today),)


def _species(scene: Scene, sentence: str) -> Iterator[str]:
    """The species of the animals named in a sentence, and the listed ones that it names outright."""
    for animal in scene.names.animals:
        if animal.species and _is_named(animal, sentence):
            yield animal.species
    for listing in LISTINGS:
        named = re.search(rf"\b{listing.genus}\b", sentence, re.IGNORECASE) is not None
        if named and not listing.species:
            yield listing.genus
        yield from (
            f"{listing.genus} {epithet}" for epithet in sorted(listing.species) if _has(sentence, epithet, loosely=True)
        )


def _is_named(animal: OccupantRow, sentence: str) -> bool:
    words = (animal.name, *animal.aliases)
    scientific = (animal.species or "").split()[:2]
    return any(_has(sentence, word) for word in words) or any(_has(sentence, word, loosely=True) for word in scientific)


def _has(sentence: str, word: str, *, loosely: bool = False) -> bool:
    """Whether a word stands in a sentence; of one or two letters only as it is written ("B", never the "b" of a list)."""
    flags = re.IGNORECASE if loosely or len(word) > 2 else re.NOFLAG
    return re.search(rf"(?<!\w){re.escape(word)}(?!\w)", sentence, flags) is not None
