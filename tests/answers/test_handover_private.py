"""Whatever is written: a hand-over sheet never tells the name of anybody or anything else, nor a word of a note."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.answers.handover import Sheet, sheet_of
from bot.handover.facts import EXTRAS, SECTIONS
from bot.language.meaning import Ask
from storage import households, journal, lineage, roster
from storage.store import Store
from tests.answers.conftest import TODAY, Keeper

pytestmark = pytest.mark.slow

MARK = "zq"
"""Stands in every name and word that is nobody's business, and in no word that a sheet itself uses."""

NAMES = {
    "group": "Zqella", "animal": "Zqardo", "place": "zqtub 4", "other place": "zqshelf box", "alias": "zqaunt", "tag": "zqrow",
    "member": "Zqanna", "taker": "Zqrui", "word": "zqsecret", "greek": "Zqψδλή", "polish": "Zqłóź",
}  # fmt: skip
OTHERS = ("group", "animal", "greek", "polish")
OWN = "Marigold"
KINDS = (
    "feeding", "moult", "measurement", "note", "observation", "count", "death", "departure", "arrival", "sac", "pairing",
    "reading", "misting", "cleaning", "move",
)  # fmt: skip
WORDS = st.lists(st.sampled_from([*NAMES.values(), "and", "the", "ate", "3", "to", "from"]), max_size=8).map(" ".join)


@dataclass(frozen=True)
class Told:
    """One entry: how many days ago, of what kind, of whom, with which free words, and what became of it."""

    back: int
    kind: str
    of: tuple[str, ...]
    words: str
    number: int
    fate: str


TOLD = st.builds(
    Told,
    st.integers(0, 300),
    st.sampled_from(KINDS),
    st.lists(
        st.sampled_from([OWN, NAMES["place"], NAMES["group"], NAMES["animal"]]), min_size=1, max_size=3, unique=True
    ).map(tuple),
    WORDS,
    st.integers(0, 40),
    st.sampled_from(["stands", "stands", "retracted", "corrected"]),
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path)
    yield opened
    opened.close()


def furnish(keeper: Keeper, *, shared: bool) -> None:
    """One of ours among others, all of whose names are nobody's business; each came of another."""
    keeper.place(NAMES["place"], tags=(NAMES["tag"],), aliases=(f"{NAMES['alias']} tub",))
    keeper.place(NAMES["other place"])
    keeper.animal(OWN, NAMES["place"], kind="group", count=30)
    for name in OTHERS:
        place = NAMES["place"] if shared else NAMES["other place"]
        keeper.animal(NAMES[name], place, kind="animal" if name == "animal" else "group")
    roster.add_alias(keeper.session, occupant_id=keeper.animals[NAMES["group"]], alias=NAMES["alias"])
    households.add_member(
        keeper.session, keeper.collection_id, "console", "other", NAMES["member"], "keeper", keeper.now
    )
    for how, other in (("split", "group"), ("join", "greek"), ("brood", "animal")):
        lineage.add_lineage(
            keeper.session, keeper.animals[OWN], keeper.animals[NAMES[other]], how, None, TODAY - timedelta(9)
        )


def write(keeper: Keeper, told: Sequence[Told]) -> None:
    """Free words stand wherever an entry can hold some."""
    for one in told:
        numbers = {
            name: [one.number, one.number + 2] for name in ("quantity", "number", "count", "value", "humidity_pct")
        }
        entry = keeper.write(
            TODAY - timedelta(days=one.back),
            one.kind,
            one.of,
            words=one.words or "something",
            prey=one.words or "cricket",
            prey_state=one.words,
            cause=one.words,
            text=one.words,
            measure=one.words if one.number % 2 else "legspan",
            stage=one.words if one.number % 2 else "laid",
            signs=[one.words, "mites"],
            to=one.words,
            meter=one.words,
            **numbers,
        )
        if one.fate == "retracted":
            journal.retract(keeper.session, [entry], keeper.member_id, None, keeper.now)
        elif one.fate == "corrected":
            row = journal.entry(keeper.session, entry)
            journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, keeper.now, [row], [entry])


def said(keeper: Keeper, **fields: object) -> list[str]:
    """The sheet in plain words, and the words of its PDF as another program reads them, with what the file says of itself."""
    found = sheet_of(Ask("handover", subjects=(OWN,), fields=fields), keeper.view)
    assert isinstance(found, Sheet)
    read = pypdfium2.PdfDocument(io.BytesIO(found.pdf()))
    pages = " ".join(page.get_textpage().get_text_range() for page in read)
    return [found.text(), pages, str(read.get_metadata_dict()), found.file_name]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    told=st.lists(TOLD, max_size=14),
    shared=st.booleans(),
    only=st.lists(st.sampled_from(SECTIONS), unique=True).map(tuple),
)
def test_nobody_else_is_on_a_sheet(store: Store, told: list[Told], only: tuple[str, ...], *, shared: bool) -> None:
    """Nor a word of a note, whatever is wanted on it; asked for, own notes stand there without anybody's name."""
    with store.write() as session:
        nothing = session.begin_nested()
        keeper = Keeper(session)
        furnish(keeper, shared=shared)
        write(keeper, told)
        for text in said(keeper, only=only):
            assert not re.search("zq", text, re.IGNORECASE), text
            assert "Ana" not in text
        free = {NAMES["taker"].lower(), NAMES["word"]}  # a taker is on no roster, and a secret is the keeper's own word
        for text in said(keeper, including=EXTRAS[:1]):
            found = re.findall(r"zq\w*", text.lower())
            assert set(found) <= free, text
            assert "Ana" not in text
        nothing.rollback()  # each example begins on an empty journal
