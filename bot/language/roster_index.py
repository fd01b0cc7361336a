"""The names of a roster, ready to be found in text: names, aliases, tags, species, and numbered names by their base word."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.language.quantities import ONES
from bot.language.tokens import tokenise
from bot.language.vocabulary import longest_match, vocabulary

if TYPE_CHECKING:
    from bot.language.roster import Roster

ARTICLES = {"the", "a", "an", "my", "our"}
NUMBER_WORDS = {word: f"{value}" for word, value in ONES.items() if value > 0}
PLAIN_HEADS = frozenset({"group", "tub", "box", "pot", "cube", "tank", "jar", "viv", "bin", "one", "lot", "rack", "shelf", "drawer", "column", "enclosure", "terrarium", "vivarium", "cage", "container", "vial", "cup", "basket", "tray", "unit", "case", "tote", "house", "column", "crate", "bucket", "cylinder", "tube", "room"})


@dataclass(slots=True)
class NameNode:
    """A step in the tree of names; `subjects` is set where a name ends."""

    next: dict[str, NameNode] = field(default_factory=dict)
    subjects: tuple[str, ...] | None = None
    how: str = ""  # name, tag or species


@dataclass(frozen=True)
class RosterIndex:
    """What the finder of names looks things up in."""

    tree: NameNode
    numbered: dict[tuple[str, ...], dict[str, str]]  # ("tub",) -> {"4": "tub 4"}
    partial: dict[str, tuple[str, ...]]  # one word of a longer name -> the names that have it
    words: tuple[str, ...]  # words of four letters or more that names are made of
    everyone: tuple[str, ...]
    groups: tuple[str, ...]
    animals: tuple[str, ...]
    place_of: dict[str, str]
    order: dict[str, int]  # subjects in roster order
    cultures: dict[str, str]  # prey -> the occupant that is its culture, where there is just one


def key_of(name: str) -> tuple[str, ...]:
    """How a name is compared: its token texts, number words as figures, without a leading article."""
    texts = [NUMBER_WORDS.get(token.text, token.text) if index else token.text for index, token in enumerate(tokenise(name)) if token.text != "#"]
    if len(texts) > 1 and texts[0] == "the":
        texts = texts[1:]
    return tuple(texts)


def _plant(tree: NameNode, key: tuple[str, ...], subjects: tuple[str, ...], how: str) -> None:
    node = tree
    for text in key:
        node = node.next.setdefault(text, NameNode())
    if node.subjects is None:
        node.subjects, node.how = subjects, how


def _species_keys(species: str) -> list[tuple[str, ...]]:
    words = key_of(species)
    if len(words) < 2:
        return [words]
    genus, epithet = words[0], words[1]
    return [words, (genus, epithet), (genus[0], epithet), (genus[0], ".", epithet), (epithet,), (epithet + "s",), (genus,), (genus + "s",)]


def _plural_forms(key: tuple[str, ...]) -> list[tuple[str, ...]]:
    head = key[-1]
    if head.isdigit() or len(head) < 3:
        return []
    return [(*key[:-1], head[:-1])] if head.endswith("s") else [(*key[:-1], head + "s")]


@lru_cache(maxsize=32)
def roster_index(roster: Roster) -> RosterIndex:
    """The index of a roster; rosters are compared by identity, so it is built once for each."""
    named = [(item.name, item.aliases) for item in (*roster.occupants, *roster.enclosures)]
    tags: dict[str, list[str]] = defaultdict(list)
    for place in roster.enclosures:
        for tag in place.tags:
            tags[tag].append(place.name)
    species: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for occupant in roster.occupants:
        for key in _species_keys(occupant.species) if occupant.species else ():
            species[key].append(occupant.name)
    tree = NameNode()
    _plant_all(tree, named, tags, species)
    places = {item.name: item.enclosure for item in roster.occupants} | {item.name: item.name for item in roster.enclosures}
    lived_in = {occupant.enclosure for occupant in roster.occupants}
    return RosterIndex(
        tree=tree,
        numbered=_numbered(named),
        partial=_partial(named, tree),
        words=_words(named, tags, species),
        everyone=tuple(place.name for place in roster.enclosures if place.name in lived_in),
        groups=tuple(item.name for item in roster.occupants if item.kind == "group"),
        animals=tuple(item.name for item in roster.occupants if item.kind == "animal"),
        place_of=places,
        order={name: index for index, (name, _) in enumerate(named)},
        cultures=_cultures(roster),
    )


def _cultures(roster: Roster) -> dict[str, str]:
    """Feeder cultures by the prey they are of, told by their own names or by their place's."""
    found: dict[str, set[str]] = defaultdict(set)
    for occupant in roster.occupants:
        for text in (occupant.name, *occupant.aliases, occupant.enclosure) if occupant.kind == "group" else ():
            tokens = tokenise(text)
            for at in range(len(tokens)):
                match = longest_match(vocabulary().tree, tokens, at)
                for sense in match[1] if match else ():
                    if sense.category == "prey":
                        found[sense.value].add(occupant.name)
    return {prey: next(iter(names)) for prey, names in found.items() if len(names) == 1}


def _plant_all(tree: NameNode, named: list[tuple[str, tuple[str, ...]]], tags: dict[str, list[str]], species: dict[tuple[str, ...], list[str]]) -> None:
    """Names before aliases before tags before species; but an alias that is only a species word means every group of it."""
    shared = {key for key, names in species.items() if len(names) > 1}
    for name, _ in named:
        _plant(tree, key_of(name), (name,), "name")
    for name, aliases in named:
        for alias in aliases:
            if key_of(alias) not in shared:
                _plant(tree, key_of(alias), (name,), "name")
    for tag, names in tags.items():
        for key in [key_of(tag), *_plural_forms(key_of(tag))]:
            singular = len(names) > 1 and len(key[-1]) < len(key_of(tag)[-1])
            _plant(tree, key, tuple(names), "either" if singular else "tag")
    for key, names in species.items():
        _plant(tree, key, tuple(names), "species")
    for name, aliases in named:
        for key in (key_of(text) for text in (name, *aliases)):
            for other in _plural_forms(key):
                if len(key) > 1 or key[-1].endswith("s") is False:
                    _plant(tree, other, (name,), "name")


def _numbered(named: list[tuple[str, tuple[str, ...]]]) -> dict[tuple[str, ...], dict[str, str]]:
    numbered: dict[tuple[str, ...], dict[str, str]] = defaultdict(dict)
    for name, aliases in named:
        for key in (key_of(text) for text in (name, *aliases)):
            if len(key) > 1 and (key[-1].isdigit() or len(key[-1]) == 1):
                numbered[key[:-1]].setdefault(key[-1], name)
    return dict(numbered)


def _partial(named: list[tuple[str, tuple[str, ...]]], tree: NameNode) -> dict[str, tuple[str, ...]]:
    """First or last word of a longer name, where it is no name itself and no word of the trade."""
    senses, found = vocabulary().tree.next, defaultdict(list)
    for name, aliases in named:
        for key in (key_of(text) for text in (name, *aliases)):
            for word in {key[0], key[-1]} if len(key) > 1 else ():
                opening = word == key[0] and word in vocabulary().ordinary
                plain = len(word) < 3 or word.isdigit() or (word in senses and senses[word].senses) or (opening and not (len(key) == 2 and key[1].isdigit()))
                taken = word in tree.next and tree.next[word].subjects is not None
                if not plain and not taken and name not in found[word]:
                    found[word].append(name)
    return {word: tuple(names) for word, names in found.items()}


def _words(named: list[tuple[str, tuple[str, ...]]], tags: dict[str, list[str]], species: dict[tuple[str, ...], list[str]]) -> tuple[str, ...]:
    keys = [key_of(text) for name, aliases in named for text in (name, *aliases)] + [key_of(tag) for tag in tags] + list(species)
    return tuple(sorted({word for key in keys for word in key if len(word) >= 4 and word.isalpha() and word not in PLAIN_HEADS}))


@lru_cache(maxsize=4096)
def near_words(words: tuple[str, ...], text: str) -> tuple[str, ...]:
    """Words of names that an unknown word may be a misspelling of: one typo, two from nine letters on; nearest only."""
    allowed = 2 if len(text) >= 9 else 1
    close = process.extract(text, words, scorer=OSA.distance, score_cutoff=allowed, limit=5)
    return tuple(word for word, distance, _ in close if distance == close[0][1])
