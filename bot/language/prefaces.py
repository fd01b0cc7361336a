"""Polite words before what is meant: "I must confess that …", "could you please tell me which …", "I'd be grateful if you would …"."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.clauses import Sentence

WH = r"(?:whether|when|how|which|what|who|why|where)"
WORDS = r"(?:[\w']+[ ,]+)"
POLITE = (
    r"(?:i|we|you|it|me|us|be|am|is|was|would|could|can|will|should|might|may|do|please|kindly|kind|good|nice|lovely|grand|great|enough|to|so"
    r"|as|if|possible|possibly|perhaps|grateful|obliged|wonder|wondered|wondering|mind|able|and|just|very|much|appreciate|like|love|want"
    r"|need|hello|hi|dear|well|now|thank|thanks|i'd|oh|ask|for|a|favour|favor|to ask|any|chance|that|happy|glad|pleased)"
)
SAYING = (
    r"(?:say|said|tell you|told you|let you know|inform you|report|announce|mention|mentioned|confess|admit|note|noted|record|recorded"
    r"|write|add|hear|learn|seems?|appears?|think|believe|suspect|notice|noticed|gather|confirm|state)"
)
FEELING = r"(?:pleased|happy|glad|sorry|sad|delighted|relieved|proud|thrilled|gutted)"
DENYING = re.compile(r"\b(?:not|never|cannot|doubt|if|hope|until|unless)\b|n't\b")

FEELING_FIRST = re.compile(r"[^,.;:!?]{2,30}, (?=(?:i|we) (?:must|have to|do have to) )")
"""What a keeper feels, said before "I must say": "not best pleased, …"."""

TOLD = re.compile(
    rf"(?:please |just |and |also |so |well,? |oh,? )*(?:i|we|it|you|my \w+|to)\b {WORDS}{{0,10}}?{SAYING}(?: it)?(?: down| here)? that (?!one (?!of\b))"
    r"|(?:i|we) (?:must|have to|should|would|do have to) (?:say|admit|confess)(?: that)?[,:]? "
    r"|(?:i )?(?:should(?:'ve| have| of)|meant to|forgot to) (?:tell you|told you|say|said|mention|mentioned|let you know)(?: that| earlier| before)?[:,]? "
    r"|(?:i )?(?:should(?:'ve| have| of)|meant to) (?:written|write|log|logged|note|noted) (?:this|that|it)(?: down)?(?: earlier| before)?[:,]? "
    rf"|(?:please |just to |to )?(?:note|record|add|let you know|say|report) that (?!one (?!of\b))"
    rf"|(?:(?:i|we) (?:am|are|was) |(?:i|we)'?(?:m|re) )?(?:so |very |really )*{FEELING} to {WORDS}{{0,3}}?(?:say|report|tell you|announce)(?: that)? "
)
"""What a keeper opens a report with; what was done or seen comes after it."""

SEEING, RECORD = r"(?:see|have|look at|have a look at) ", r"(?:the |a )?(?=records?\b|history\b|log\b|list\b|summary\b)"

ASKED = re.compile(
    rf"(?:{POLITE}[ ,]+){{1,12}}?(?=(?:tell|remind) me {WH}\b)"
    rf"|{WORDS}{{1,8}}?(?:like|love|want|wish|curious|keen|interested|need) to (?:know|find out|learn|be told|hear) (?={WH}\b)"
    rf"|(?!when|what|who|why|how|where){WORDS}{{1,5}}?(?:asking|asks|asked|wondering|wonders|wants to know) (?:me )?(?={WH}\b)"
    rf"|(?:do|would) you (?:happen to |by any chance )?(?:know|remember|recall) (?={WH}\b)"
    rf"|(?:i|we) {WORDS}{{0,3}}?(?:not|cannot|can't|don't|dont|cant) {WORDS}{{0,2}}?(?:understand|see) (?=why\b)"
    rf"|(?:i|we) {WORDS}{{0,3}}?(?:not|cannot|can't|don't|dont|cant) {WORDS}{{0,2}}?(?:remember|recall) (?=(?:when|who|how|which|whether)\b)"
    r"|(?:(?:i|we)(?:'ve| have|'d| had)? )?(?:dunno|forgot|forget|forgotten|no idea|(?:god|goodness|heaven|who|lord) knows)"
    rf" (?={WH}\b)"
    rf"|would you mind {WORDS}{{0,2}}?(?=(?:showing|telling) me\b)"
    rf"|(?:might|may|could|can) (?:i|we) (?:please |just )*{SEEING}{RECORD}"
    rf"|(?:i|we)(?:'d| would) (?:like|love) (?:to {SEEING})?{RECORD}"
)
"""What a question may open with; the question comes after it."""

ORDERED = re.compile(rf"(?:{POLITE}[ ,]+){{1,14}}?(?=(?:remind|nudge|ping) me\b(?! {WH}\b))")
"""What an order to remind may open with."""


DOUBTED = re.compile(
    r"(?:(?:i|we) )?(?:(?:am|are|'m|do|really|just|only|still) )*"
    r"(?:hope|hoping|doubt|wish|not sure|unsure|no idea|can(?:no|')?t (?:say|tell)|wonder|wondering)\b(?: that| if| whether)? (?!you\b|this\b|all\b)"
)
"""What a keeper says who does not know it to be so."""


def is_doubted(sentence: Sentence, text: str) -> bool:
    """Whether a sentence opens with a hope or a doubt, so that what follows is none of what was done."""
    return DOUBTED.match(_said(sentence, text)) is not None


def as_meant(sentence: Sentence, text: str) -> Sentence:
    """The sentence from where it says what is meant; `text` is the whole message it stands in."""
    length, asks = _opening(_said(sentence, text))
    meant = sentence.items[0].start + length
    kept = tuple(item for item in sentence.items if item.start >= meant)
    return replace(sentence, items=kept, asks=asks) if kept else sentence


def _said(sentence: Sentence, text: str) -> str:
    """Its words in small letters, character by character: a few letters grow when lowered, and places must stay true."""
    words = text[sentence.items[0].start : sentence.items[-1].end].replace("\u2019", "'")
    return "".join(low if len(low := char.lower()) == 1 else char for char in words)


def _opening(said: str) -> tuple[int, bool]:
    """How many characters of a sentence come before what is meant, and whether they make a question of it."""
    asked = ASKED.match(said)
    if asked is not None:
        return asked.end(), True
    ordered = ORDERED.match(said)
    if ordered is not None:
        return ordered.end(), False
    feeling = FEELING_FIRST.match(said)
    told = TOLD.match(said, feeling.end() if feeling is not None else 0)
    return (told.end() if told is not None and not DENYING.search(told[0]) else 0), False
