"""A hand-over sheet from the journal: of one alone, up to a day, with what nobody wrote said to be so."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.answers import answer
from bot.answers.handover import CHECK, WHOSE, Sheet, sheet_of
from bot.handover import Facts, Happening
from bot.handover.facts import OWN, SHARED, TOGETHER
from bot.language.meaning import Ask
from storage import journal, lineage, roster
from storage.journal import NewEntry, Subject
from tests.answers.conftest import LIVED_SINCE, TODAY, ZONE, Keeper, day


def sheet(keeper: Keeper, *subjects: str, **fields: object) -> Sheet:
    found = sheet_of(Ask("handover", subjects=subjects, fields=fields), keeper.view)
    assert isinstance(found, Sheet), found
    return found


def facts(keeper: Keeper, *subjects: str, **fields: object) -> Facts:
    return sheet(keeper, *subjects, **fields).facts


def refused(keeper: Keeper, *subjects: str, **fields: object) -> str:
    found = sheet_of(Ask("handover", subjects=subjects, fields=fields), keeper.view)
    assert isinstance(found, str), found
    return found


def correct(keeper: Keeper, old: int, kind: str, name: str, **fields: object) -> None:
    new = NewEntry(
        kind, "log", TODAY, None, None, ZONE, fields, (Subject(occupant_id=keeper.animals[name]),), "corrected"
    )
    journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, keeper.now, [new], [old])


def test_the_history_of_a_group_comes_together(keeper: Keeper) -> None:
    """Moults, sizes, feedings, heads and the air, each from the entries that are of it."""
    keeper.write(day(2, 1), "count", ["group B"], count=[40, 42])
    keeper.write(day(3, 1), "death", ["group B"], number=[1, 1])
    keeper.write(day(3, 2), "moult", ["tub 4"], number=[3, 3])
    keeper.write(day(3, 3), "measurement", ["group B"], measure="legspan", value=[18, 18])
    keeper.write(
        day(3, 4), "feeding", ["tub 4"], prey="cricket", quantity=[8, 8], outcome="ate", prey_state="pre-killed"
    )
    keeper.write(day(5, 1), "reading", ["tub 4"], humidity_pct=[61, 61])
    told = facts(keeper, "group B")
    assert told.heads is not None
    assert (told.heads.low, told.heads.high, len(told.heads.losses)) == (39, 41, 1)
    assert [(one.on, one.number, one.told) for one in told.moults] == [(day(3, 2), (3, 3), OWN)]
    assert [(one.on, one.value) for one in told.sizes] == [(day(3, 3), (18.0, 18.0))]
    [fed] = told.feedings
    assert (fed.prey, fed.state, fed.quantity, fed.outcome, fed.told) == (
        "cricket",
        "pre-killed",
        (8.0, 8.0),
        "ate",
        OWN,
    )
    assert [one.humidity_pct for one in told.readings] == [(61.0, 61.0)]
    assert (told.known_since, told.told_on) == (LIVED_SINCE, LIVED_SINCE)


def test_what_was_corrected_or_taken_back_is_not_on_it(keeper: Keeper) -> None:
    """Only what stands in the journal now."""
    gone = keeper.write(day(3, 1), "moult", ["Duchess"])
    wrong = keeper.write(day(3, 2), "measurement", ["Duchess"], measure="weight", value=[99, 99])
    journal.retract(keeper.session, [gone], keeper.member_id, None, keeper.now)
    correct(keeper, wrong, "measurement", "Duchess", measure="weight", value=[9, 9])
    told = facts(keeper, "Duchess")
    assert told.moults == ()
    assert [one.value for one in told.sizes] == [(9.0, 9.0)]


def test_of_what_is_told_of_several_only_its_own_share_is(keeper: Keeper) -> None:
    """By name with others, or by an enclosure that it shares: said to be so, and the number is nobody's."""
    keeper.write(day(3, 1), "feeding", ["Ada", "Duchess"], prey="cricket", quantity=[5, 5])
    keeper.write(day(3, 2), "moult", ["tub 1"])
    keeper.write(day(3, 3), "observation", ["tub 1"], signs=["mites"])
    told = facts(keeper, "Ada")
    assert [one.told for one in told.feedings] == [TOGETHER]
    assert [one.told for one in told.moults] == [SHARED]
    assert told.signs == ()
    assert told.enclosure.shared
    text = sheet(keeper, "Ada").text()
    assert "crickets, outcome not written, told of several together" in text
    assert "5 crickets" not in text


def test_a_moved_animal_takes_its_history_along(keeper: Keeper) -> None:
    """What was told of its first enclosure while it lived there, and nothing of that enclosure since."""
    keeper.write(day(2, 1), "feeding", ["pot 7"], prey="cricket")
    keeper.write(day(3, 1), "move", ["Duchess"], to_enclosure_id=keeper.places["glass cube"])
    keeper.write(day(3, 10), "feeding", ["pot 7"], prey="locust")
    keeper.write(day(3, 11), "feeding", ["glass cube"], prey="roach")
    told = facts(keeper, "Duchess")
    assert [one.prey for one in told.feedings] == ["cricket", "roach"]
    assert told.enclosure.since == day(3, 1)


def test_a_brood_tells_of_its_mother_by_her_species_alone(keeper: Keeper) -> None:
    """With the days of her sac; what was taken back of it is left out."""
    roster.set_species(keeper.session, keeper.animals["Duchess"], "Caribena versicolor")
    keeper.write(day(2, 1), "sac", ["Duchess"], stage="laid")
    keeper.write(day(3, 20), "sac", ["Duchess"], stage="hatched", number=[40, 50])
    undone = keeper.write(day(3, 22), "sac", ["Duchess"], stage="hatched", number=[9, 9])
    journal.retract(keeper.session, [undone], keeper.member_id, None, keeper.now)
    keeper.animal("slings", "glass cube", kind="group", since=day(4, 1))
    lineage.add_lineage(keeper.session, keeper.animals["slings"], keeper.animals["Duchess"], "brood", None, day(4, 1))
    [parent] = facts(keeper, "slings").parents
    assert (parent.how, parent.kind, parent.species, parent.on) == ("brood", "animal", "Caribena versicolor", day(4, 1))
    assert parent.happenings == (Happening("laid", day(2, 1)), Happening("hatched", day(3, 20), (40, 50)))
    text = sheet(keeper, "slings").text()
    assert "Egg sac first seen Sun 1 Feb 2026; hatched Fri 20 Mar 2026, 40 to 50 young." in text
    assert "Duchess" not in text


def test_groups_that_came_of_each_other_are_told_once(keeper: Keeper) -> None:
    """Joined and split in turn, the telling ends."""
    keeper.animal("group C", "glass cube", kind="group")
    b, c = keeper.animals["group B"], keeper.animals["group C"]
    lineage.add_lineage(keeper.session, b, c, "split", None, day(2, 1))
    lineage.add_lineage(keeper.session, c, b, "split", None, day(1, 10))
    [parent] = facts(keeper, "group B").parents
    assert parent.parents == ()


def test_a_lot_is_of_the_group_up_to_its_day(keeper: Keeper) -> None:
    """How many, when, how many there were before; what came after is the group's own business."""
    keeper.write(day(3, 1), "feeding", ["group B"], prey="cricket")
    keeper.write(day(4, 1), "departure", ["group B"], number=[6, 6], words="sold 6 of B to Rui")
    keeper.write(day(4, 1), "measurement", ["group B"], value=[12, 12], words="the ones for Rui were 12 mm")
    keeper.write(day(5, 1), "feeding", ["group B"], prey="roach")
    told = facts(keeper, lot="rui")
    assert [(one.on, one.number) for one in told.lots] == [(day(4, 1), (6, 6))]
    assert (told.name, told.until) == ("group B", day(4, 1))
    assert told.heads is not None
    assert (told.heads.low, told.heads.high, told.heads.losses) == (42, 42, ())
    assert [one.prey for one in told.feedings] == ["cricket"]
    assert [one.value for one in told.sizes] == [(12.0, 12.0)]
    assert facts(keeper, "group B").sizes == ()  # those that left are no measure of those that stayed
    assert "Rui" not in sheet(keeper, lot="rui").text()


def test_which_lot_is_asked_where_several_left(keeper: Keeper) -> None:
    """To the same taker from two groups; named, it is plain. A taker of whom nothing is told gets a sentence."""
    keeper.write(day(4, 1), "departure", ["group B"], number=[6, 6], words="sold 6 of B to Rui")
    keeper.write(day(4, 2), "departure", ["Duchess"], words="gave Duchess to Rui")
    assert "“the ones of group B” or “the ones of Duchess”" in refused(keeper, lot="rui")
    assert facts(keeper, lot="rui", of=("Duchess",)).name == "Duchess"
    assert refused(keeper, lot="olga").startswith("No sale to olga is written")
    assert facts(keeper, lot="", of=("group B",)).until == day(4, 1)


def test_days_limit_what_is_told(keeper: Keeper) -> None:
    """Since a day: moults, sizes and feedings from then on."""
    for month in (2, 3, 4):
        keeper.write(day(month, 1), "moult", ["Duchess"])
    found = sheet_of(Ask("handover", subjects=("Duchess",), since=day(3, 1)), keeper.view)
    assert isinstance(found, Sheet)
    assert [one.on for one in found.facts.moults] == [day(3, 1), day(4, 1)]
    assert "from records from Sun 1 Mar 2026 up to" in found.text()


def test_the_keepers_own_band_is_told_and_no_other(keeper: Keeper) -> None:
    """The care sheet's band is not what it was kept at."""
    roster.set_species(keeper.session, keeper.animals["Duchess"], "Caribena versicolor")
    assert facts(keeper, "Duchess").enclosure.humidity_pct is None
    keeper.plan("rule", ["Duchess"], told=day(4, 1), humidity_pct=[60, 70])
    assert facts(keeper, "Duchess").enclosure.humidity_pct == (60.0, 70.0)
    keeper.write(day(3, 1), "departure", ["Duchess"], words="lent Duchess to Rui")
    assert facts(keeper, lot="rui").enclosure.humidity_pct is None  # it was set after that day
    roster.end_occupant(keeper.session, keeper.animals["Duchess"], day(4, 2))
    text = sheet(keeper, "Duchess", only=("housing",)).text()
    assert "aims" not in text
    assert "set no band" not in text


@pytest.mark.parametrize(
    ("species", "words"),
    [
        ("Tliltocatl albopilosus", ("urticating hairs", "Tliltocatl spp.: CITES Appendix II")),  # CITES guide of 2019
        ("Hadogenes paucidens", ("it stings", "local emergency or poison service")),  # common practice: scorpions sting
        (None, ("What kind of animal it is was not written", "local emergency number")),
    ],
)
def test_cautions_go_by_the_species(keeper: Keeper, species: str | None, words: tuple[str, str]) -> None:
    """Hairs, stings, the law; where the kind is not known, that is said, and nothing is called harmless."""
    if species is not None:
        roster.set_species(keeper.session, keeper.animals["Duchess"], species)
    text = sheet(keeper, "Duchess", only=("cautions",)).text()
    assert all(word in text for word in words)


def test_signs_of_trouble_seen_lately_are_told(keeper: Keeper) -> None:
    """Those of its own of the last 90 days, each with its last day; old ones and harmless ones are not."""
    for back, sign in ((200, "injured"), (40, "mites"), (20, "mites"), (10, "hiding")):
        keeper.write(TODAY - timedelta(days=back), "observation", ["Duchess"], signs=[sign])
    assert facts(keeper, "Duchess").signs == (Happening("mites", TODAY - timedelta(days=20)),)


def test_notes_and_names_come_only_when_asked_for(keeper: Keeper) -> None:
    """Others' names are put out even then; what was told of several is never quoted."""
    keeper.write(day(3, 1), "note", ["Duchess"], words="Duchess is shyer than Ada, says Ana; pot 7 drips")
    keeper.write(day(3, 2), "note", ["Duchess", "Ada"], words="both are fat")
    keeper.write(day(3, 3), "arrival", ["Duchess"], words="bought Duchess from Rui")
    plain, noted = sheet(keeper, "Duchess").text(), sheet(keeper, "Duchess", including=("notes",)).text()
    assert not any(word in plain for word in ("shyer", "Rui", "Ana"))
    assert "“Duchess is shyer than […], says […]; […] drips”" in noted
    assert not any(word in noted for word in ("both are fat", "Rui"))
    named = sheet(keeper, "Duchess", including=("names",)).text()
    assert "Written down by Ana." in named
    assert "“bought Duchess from Rui”" in named
    assert "shyer" not in named
    assert CHECK in keeper.text("handover", "Duchess", fields={"including": ("notes",)})


def test_unusual_prey_is_not_called_by_its_name(keeper: Keeper) -> None:
    """A word that the lexicon does not hold may be anybody's."""
    keeper.write(day(3, 1), "feeding", ["Duchess"], prey="Ada's eggs")
    text = sheet(keeper, "Duchess").text()
    assert "other prey" in text
    assert "Ada" not in text


def test_whose_sheet_it_is_must_be_plain(keeper: Keeper) -> None:
    """One alone: not nobody, not several, not an empty place, not a name that is not there."""
    assert refused(keeper) == WHOSE
    assert refused(keeper, "tub 1") == "A sheet is of one alone: say Ada or Dot."
    assert refused(keeper, "glass cube").startswith("Nobody lives in glass cube")
    assert keeper.text("handover", "Zed").startswith("There is no Zed on the roster")
    assert facts(keeper, "tub 4").name == "group B"


def test_one_that_is_off_the_roster_still_has_its_sheet(keeper: Keeper) -> None:
    """It may have been closed before the sheet was asked for."""
    keeper.write(day(4, 1), "departure", ["Duchess"], words="sold Duchess to Rui")
    keeper.write(day(4, 2), "ended", ["Duchess"])
    roster.end_occupant(keeper.session, keeper.animals["Duchess"], day(4, 2))
    assert "It left on Wed 1 Apr 2026." in sheet(keeper, "Duchess").text()
    assert facts(keeper, lot="rui").name == "Duchess"


def test_the_pdf_goes_along_as_a_document(keeper: Keeper, tmp_path: Path) -> None:
    """By a name that says whose it is and of which day, even where that has strokes."""
    roster.rename_occupant(keeper.session, keeper.animals["Duchess"], "Duchess 1/2")
    reply = answer(Ask("handover", subjects=("Duchess 1/2",)), replace(keeper.view, folder=tmp_path))
    [file] = reply.files
    assert (file.kind, file.name) == ("document", "sheet Duchess 1-2 2026-05-07.pdf")
    assert (tmp_path / file.path).read_bytes().startswith(b"%PDF-")
    assert "Left out: notes and names." in reply.text
