"""The names of a roster, ready to be found in text: names, aliases, tags, species, and numbered names by their base word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.language.amounts import ONES
from bot.language.tokens import CONTRACTIONS, tokenise
from bot.language.vocabulary import longest_match, vocabulary

if TYPE_CHECKING:
    from bot.language.roster import Enclosure, Occupant, Roster

ARTICLES = {"the", "a", "an", "my", "our"}
NUMBER_WORDS = {word: f"{value}" for word, value in ONES.items() if value > 0}
PLAIN_HEADS = frozenset({
    "group", "tub", "box", "pot", "cube", "tank", "jar", "viv", "bin", "one", "lot", "rack", "shelf", "drawer", "column",
    "ones", "enclosure", "terrarium", "vivarium", "cage", "container", "vial", "cup", "basket", "tray", "unit", "case", "tote",
    "house", "crate", "bucket", "cylinder", "tube", "room",
})  # fmt: skip
"""Words for a place or a group that say nothing of which."""

Key = tuple[str, ...]  # token texts


@dataclass(slots=True)
class NameNode:
    """A step in the tree of names; `subjects` is set where a name ends."""

    next: dict[str, NameNode] = field(default_factory=dict)
    subjects: tuple[str, ...] | None = None
    how: str = ""  # name, tag, species, or either (only one of several is meant)


@dataclass(frozen=True, slots=True)
class Base:
    """What numbered names begin with, and the names by their number or letter: ("tub",), {"4": "tub 4"}."""

    words: Key
    members: dict[str, str]


@dataclass(frozen=True)
class RosterIndex:
    """What the finder of names looks things up in."""

    tree: NameNode
    numbered: dict[Key, dict[str, str]]  # ("tub",) -> {"4": "tub 4"}
    bases: dict[str, tuple[Base, ...]]  # the same by their first word, as it is and as a plural; longest first
    partial: dict[str, tuple[str, ...]]  # one word of a longer name -> the names that have it
    words: tuple[str, ...]  # words of four letters or more that names are made of
    everyone: tuple[str, ...]
    groups: tuple[str, ...]
    animals: tuple[str, ...]
    place_of: dict[str, str]
    order: dict[str, int]  # subjects in roster order
    cultures: dict[str, str]  # prey -> the occupant that is its culture, where there is just one


@dataclass(frozen=True, slots=True)
class _Names:
    """All ways to call those on a roster, as keys, in roster order."""

    own: list[tuple[str, Key]]  # each with its own name
    aliases: list[tuple[str, Key]]
    all: list[tuple[str, Key]]  # each with its own name, then its aliases
    tags: list[tuple[Key, list[str]]]
    species: dict[Key, list[str]]


@lru_cache(maxsize=4096)
def key_of(name: str) -> Key:
    """How a name is compared: its token texts, number words as figures, without a leading article."""
    texts = [
        NUMBER_WORDS.get(token.text, token.text) if index else token.text
        for index, token in enumerate(tokenise(name))
        if token.text != "#"
    ]
    return tuple(texts[1:] if len(texts) > 1 and texts[0] == "the" else texts) or (name,)


@lru_cache(maxsize=32)
def roster_index(roster: Roster) -> RosterIndex:
    """The index of a roster; rosters are compared by identity, so it is built once for each."""
    names = _names_of(roster)
    tree = _tree(names)
    numbered = _numbered(names)
    lived_in = {occupant.enclosure for occupant in roster.occupants}
    return RosterIndex(
        tree=tree,
        numbered=numbered,
        bases=_bases(numbered),
        partial=_partial(names, tree),
        words=_words(names),
        everyone=tuple(place.name for place in roster.enclosures if place.name in lived_in),
        groups=tuple(item.name for item in roster.occupants if item.kind == "group"),
        animals=tuple(item.name for item in roster.occupants if item.kind == "animal"),
        place_of={item.name: item.enclosure for item in roster.occupants}
        | {item.name: item.name for item in roster.enclosures},
        order={name: index for index, (name, _) in enumerate(names.own)},
        cultures=_cultures(roster),
    )


def _names_of(roster: Roster) -> _Names:
    everybody: tuple[Occupant | Enclosure, ...] = (*roster.occupants, *roster.enclosures)
    tags: dict[str, list[str]] = defaultdict(list)
    for place in roster.enclosures:
        for tag in place.tags:
            tags[tag].append(place.name)
    species: dict[Key, list[str]] = defaultdict(list)
    for occupant in roster.occupants:
        for key in _species_keys(occupant.species) if occupant.species else ():
            species[key].append(occupant.name)
    return _Names(
        own=[(item.name, key_of(item.name)) for item in everybody],
        aliases=[(item.name, key_of(alias)) for item in everybody for alias in item.aliases],
        all=[(item.name, key_of(text)) for item in everybody for text in (item.name, *item.aliases)],
        tags=[(key_of(tag), places) for tag, places in tags.items()],
        species=species,
    )


def _species_keys(species: str) -> list[Key]:
    """A species as keepers say it: "Grammostola pulchra", "G. pulchra", "pulchra", "pulchras", "Grammostolas"."""
    words = key_of(species)
    if len(words) < 2:
        return [words]
    genus, epithet = words[0], words[1]
    short = [(genus, epithet), (genus[0], epithet), (genus[0], ".", epithet)]
    return [words, *short, (epithet,), (epithet + "s",), (genus,), (genus + "s",)]


def _tree(names: _Names) -> NameNode:
    """Names before aliases before tags before species; but an alias that is only a species word means every group of it."""
    tree = NameNode()
    shared = {key for key, those in names.species.items() if len(those) > 1}
    for name, key in names.own:
        _plant(tree, key, (name,), "name")
    for name, key in names.aliases:
        if key not in shared:
            _plant(tree, key, (name,), "name")
    for key, places in names.tags:
        _plant_tag(tree, key, tuple(places))
    for key, those in names.species.items():
        _plant(tree, key, tuple(those), "species")
    for name, key in names.all:
        if len(key) > 1 or not key[-1].endswith("s"):
            _plant_all(tree, _plural_forms(key), (name,), "name")
    return tree


def _plant_tag(tree: NameNode, key: Key, places: tuple[str, ...]) -> None:
    """A tag and its other number; the singular of a tag that several places have means only one of them."""
    _plant(tree, key, places, "tag")
    for other in _plural_forms(key):
        _plant(tree, other, places, "either" if len(places) > 1 and len(other[-1]) < len(key[-1]) else "tag")


def _plant_all(tree: NameNode, keys: Iterable[Key], subjects: tuple[str, ...], how: str) -> None:
    for key in keys:
        _plant(tree, key, subjects, how)


def _plant(tree: NameNode, key: Key, subjects: tuple[str, ...], how: str) -> None:
    """Set where a name leads, unless an earlier one leads elsewhere."""
    node = tree
    for text in key:
        node = node.next.setdefault(text, NameNode())
    if node.subjects is None:
        node.subjects, node.how = subjects, how


def _plural_forms(key: Key) -> list[Key]:
    """The plural of a name in the singular, or the other way round; none for numbers and short words."""
    head = key[-1]
    if head.isdigit() or len(head) < 3:
        return []
    return [(*key[:-1], head[:-1])] if head.endswith("s") else [(*key[:-1], head + "s")]


def _numbered(names: _Names) -> dict[Key, dict[str, str]]:
    numbered: dict[Key, dict[str, str]] = defaultdict(dict)
    for name, key in names.all:
        if len(key) > 1 and (key[-1].isdigit() or len(key[-1]) == 1):
            numbered[key[:-1]].setdefault(key[-1], name)
    return dict(numbered)


def _bases(numbered: dict[Key, dict[str, str]]) -> dict[str, tuple[Base, ...]]:
    found: dict[str, list[Base]] = defaultdict(list)
    for words, members in sorted(numbered.items(), key=lambda pair: -len(pair[0])):
        for form in forms_of(words[0]):
            found[form].append(Base(words, members))
    return {form: tuple(bases) for form, bases in found.items()}


def forms_of(word: str) -> tuple[str, ...]:
    """A base word and its plurals; a letter has none."""
    return (word, word + "s", word + "es") if len(word) > 1 else (word,)


SHORT_FOR = frozenset(word for short, words in CONTRACTIONS.items() if len(short) <= 2 for word in words)
"""What a letter or two alone are read as ("n", "u", "w"): a place called "n1" is called after no such word."""


def _partial(names: _Names, tree: NameNode) -> dict[str, tuple[str, ...]]:
    """First or last word of a longer name, where it is no name itself and no word of the trade."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for name, key in names.all:
        for word in {key[0], key[-1]} if len(key) > 1 else ():
            taken = word in tree.next and tree.next[word].subjects is not None
            if not taken and _tells(word, key):
                found[word][name] = None
    return {word: tuple(those) for word, those in found.items()}


def _tells(word: str, key: Key) -> bool:
    """Whether a word of a longer name can stand for it; an everyday first word only when a number follows it ("tower 2")."""
    node = vocabulary().tree.next.get(word)
    if len(word) < 3 or word.isdigit() or word in SHORT_FOR or (node is not None and node.senses):
        return False
    opening = word == key[0] and word in vocabulary().ordinary
    return not opening or (len(key) == 2 and key[1].isdigit())


def _words(names: _Names) -> tuple[str, ...]:
    words = {word for key in _all_keys(names) for word in key}
    return tuple(sorted(word for word in words if len(word) >= 4 and word.isalpha() and word not in PLAIN_HEADS))


def _all_keys(names: _Names) -> Iterator[Key]:
    yield from (key for _, key in names.all)
    yield from (key for key, _ in names.tags)
    yield from names.species


def _cultures(roster: Roster) -> dict[str, str]:
    """Feeder cultures by the prey they are of, told by their own names or by their place's."""
    found: dict[str, set[str]] = defaultdict(set)
    for occupant in roster.occupants:
        if occupant.kind == "group":
            for text in (occupant.name, *occupant.aliases, occupant.enclosure):
                for prey in prey_in(text):
                    found[prey].add(occupant.name)
    return {prey: next(iter(names)) for prey, names in found.items() if len(names) == 1}


@lru_cache(maxsize=4096)
def prey_in(text: str) -> frozenset[str]:
    """The prey that a name speaks of."""
    tokens = tokenise(text)
    matches = [longest_match(vocabulary().tree, tokens, at) for at in range(len(tokens))]
    return frozenset(sense.value for match in matches if match for sense in match[1] if sense.category == "prey")


@lru_cache(maxsize=4096)
def near_words(words: tuple[str, ...], text: str) -> tuple[str, ...]:
    """Words of names that an unknown word may be a misspelling of: one typo, two from nine letters on; nearest only."""
    allowed = 2 if len(text) >= 9 else 1
    close = process.extract(text, words, scorer=OSA.distance, score_cutoff=allowed, limit=5)
    return tuple(word for word, distance, _ in close if distance == close[0][1])
