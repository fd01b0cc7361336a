"""Names, aliases, tags and species as they are written on the roster, and single words of longer names."""

from __future__ import annotations

from bot.language.names.span import NameSpan
from bot.language.roster_index import NUMBER_WORDS, PLAIN_HEADS, NameNode, RosterIndex
from bot.language.tokens import CONTRACTIONS, Token, text_at
from bot.language.vocabulary import means, vocabulary

JOINERS = {",", "and", "+", "&", "/", "plus"}
NUMBER_SIGNS = {"#", "no", "number", "nr"}
MODALS = {"may", "will"}
AFTER_MODALS = {"need", "be", "have", "not", "well", "want", "eat", "moult", "molt", "also", "just", "go"}
VAGUE_LEADS = {
    "a", "an", "deeper", "wider", "longer", "warmer", "cooler", "drier", "roomier", "nicer", "better", "proper", "new", "bigger", "larger", "smaller", "another", "spare", "fresh", "taller", "different", "big", "small", "tall",
}  # fmt: skip
EXPANDED = {words[0] for words in CONTRACTIONS.values() if len(words) == 1}
"""Words that people write short, as a name may be: "em" for "them"."""

HOWS = {"tag": "many", "species": "many", "either": "either"}


def exact(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """The longest name that starts here, skipping a "#" or "no" before a number."""
    found = _longest(tokens, at, index)
    if found is None:
        return None
    last, node = found
    subjects = node.subjects or ()
    if last == at + 1 and (_is_modal(tokens, at) or _is_pronoun(tokens[at]) or not _may_be_name(tokens, at)):
        return None
    how = "name" if len(subjects) == 1 else HOWS.get(node.how, "name")
    return NameSpan(at, last, subjects, how, part=node.how == "either")


SHORTEST_ONE = 4
"""Letters of the shortest word for one of a group."""


def one_of_group(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """The group of which one is told: "a nymph got eaten" where the nymphs are one; no prey, which is fed."""
    lead = tokens[at - 1] if at else None
    counted = (
        lead is not None and lead.text in {"a", "an", "one", "another", "1"} and len(tokens[at].text) >= SHORTEST_ONE
    )
    node = index.tree.next.get(tokens[at].text + "s") if counted else None
    subjects = node.subjects if node is not None else None
    if not subjects or len(subjects) > 1 or subjects[0] not in index.groups or means(tokens[at].text, "prey"):
        return None
    return NameSpan(at, at + 1, subjects, "name")


def _longest(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> tuple[int, NameNode] | None:
    """The token after the longest name that starts here, and where in the tree of names it ends."""
    node, best, cursor = index.tree, None, at
    while cursor < len(tokens):
        text = key_at(tokens, cursor) if cursor > at else tokens[cursor].text
        following = node.next.get(text)
        if following is not None:
            node, cursor = following, cursor + 1
            best = (cursor, node) if node.subjects is not None else best
        elif cursor > at and text in NUMBER_SIGNS and text_at(tokens, cursor + 1).isdigit():
            cursor += 1
        else:
            break
    return best


def key_at(tokens: tuple[Token, ...], at: int) -> str:
    """What a token inside a name is compared by: number words as figures ("too" is a misheard two)."""
    text = text_at(tokens, at)
    if at < len(tokens) and tokens[at].raw.isdigit():
        return tokens[at].raw  # also where dictation's "2" and "4" were opened to "to" and "for"
    return NUMBER_WORDS.get(text, "2" if text == "too" else text)


def _is_pronoun(token: Token) -> bool:
    """Whether it is the word that a short name would be short for: "them" where an animal is called Em."""
    written = token.raw.lower()
    return written == token.text and written in EXPANDED


def _is_modal(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether it is the verb of "may need", "will be", and not an animal called May or Will."""
    token = tokens[at]
    return token.text in MODALS and token.raw.islower() and text_at(tokens, at + 1) in AFTER_MODALS


def _may_be_name(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a lone letter is a name here: "A" is also an article, "I" a pronoun, and letters stand beside units."""
    token = tokens[at]
    if len(token.text) > 1:
        return True
    if at and _after_measure(tokens, at):
        return False
    if token.possessive or token.text not in {"a", "i"}:
        return True
    if token.text == "i":
        return False
    return _large_a_is_name(tokens, at) if token.raw == "A" else _small_a_is_name(tokens, at)


def _after_measure(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a lone letter is the unit of the number before it: "20°C", "24 c", "12g"."""
    before = tokens[at - 1]
    degrees = before.text in {"°", "º", "degrees", "deg"} and tokens[at].text in {"c", "f"}
    warm = before.kind == "number" and tokens[at].text in {"c", "f"} and 10 <= (before.value or 0) <= 110
    return degrees or warm or (before.kind == "number" and before.end == tokens[at].start)


def _large_a_is_name(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether "A" is a name: unless it opens a sentence, before a word that is no verb."""
    opens = at == 0 or tokens[at - 1].text in {".", "!", "?", "\n", ";"}
    if not opens or at + 1 >= len(tokens) or tokens[at + 1].kind != "word":
        return True
    after = tokens[at + 1].text
    return (
        _is_verb(after) or after in JOINERS or after in {"is", "are", "was", "were", "all", "down", "up", "had", "has"}
    )


def _small_a_is_name(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether "a" is a name: in a list of letters, before a number or a mark, and at the end."""
    after = text_at(tokens, at + 1)
    if not after or tokens[at + 1].kind == "number" or (tokens[at + 1].kind == "mark" and after != "-"):
        return True
    listed = after in {",", "+", "&", "and"} and len(text_at(tokens, at + 2)) == 1
    after_list = at > 1 and tokens[at - 1].text in {"and", "+", "&", ","} and len(tokens[at - 2].text) == 1
    return listed or after_list


def _is_verb(text: str) -> bool:
    node = vocabulary().tree.next.get(text)
    return node is not None and any(
        sense.category == "verb" and sense.form in {"past", "third"} for sense in node.senses
    )


def part_of_name(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """One word of a longer name ("the tower"): the one that has it, or a question between several; "a tank" is no name."""
    text = tokens[at].text
    names = index.partial.get(text)
    if names is None and text.endswith("s") and len(index.partial.get(text[:-1], ())) > 1:
        return NameSpan(at, at + 1, index.partial[text[:-1]], "many")  # "the keiths" for Big Keith and Little Keith
    if (
        names is None
        or (at and text_at(tokens, at - 1) in VAGUE_LEADS)
        or _belongs_to_other_noun(tokens, at, names, index)
    ):
        return None
    return NameSpan(at, at + 1, names, "name" if len(names) == 1 else "either", part=True)


def _belongs_to_other_noun(tokens: tuple[Token, ...], at: int, names: tuple[str, ...], index: RosterIndex) -> bool:
    """Whether the word is half of a name that nobody has: of "the tall crate", with a tall house and a stone crate about."""
    words = {word for name in names for word in name.lower().split()}
    after, before = text_at(tokens, at + 1), text_at(tokens, at - 1) if at else ""
    other_noun = after not in words and (after in PLAIN_HEADS or after in index.partial)
    other_half = before not in words and before in index.partial and not _is_verb(before)
    return other_noun or other_half
