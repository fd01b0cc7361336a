"""The words of caution: told when a sheet says so, once in a week, and never saying too much."""

from __future__ import annotations

from datetime import date

import pytest

from bot.care.cautions import caution_about, caution_line, collected_note, harm_note, legal_note, vet_note
from bot.care.sheet import suggest
from tests.care.tale import day

POKIE = suggest("Poecilotheria regalis", "animal", "P")
KICKER = suggest("Brachypelma hamorii", "animal", "K")


def test_a_caution_is_one_line_with_whom_to_call() -> None:
    """A significant bite is called so, and the line names the animals and the services."""
    said = caution_line(POKIE)
    assert said is not None
    assert "\n" not in said
    assert "medically significant bite" in said
    assert "emergency or poison service" in said
    assert caution_about("Ember", said).startswith("Caution with Ember: medically significant")


@pytest.mark.parametrize(
    ("words", "hurt"),
    [
        ("Ember bit me on the thumb", True),
        ("got a hair in my left eye", True),
        ("i was stung while feeding", True),
        ("I can't breathe well since cleaning the bin", True),
        ("my son got bitten", True),
        ("B got bitten by a cricket", False),
        ("fed B a bit of roach", False),
        ("hairs in the web of B", False),
    ],
)
def test_whom_to_call_is_said_where_a_person_was_hurt(words: str, *, hurt: bool) -> None:
    """Bites, eyes and breath of people, not those of the animals."""
    assert (harm_note(words) is not None) is hurt


def test_what_is_warned_of_goes_by_the_sheet() -> None:
    """Hairs for a kicker, a sting for a scorpion, nothing where the sheet says nothing."""
    assert "urticating hairs" in (caution_line(KICKER) or "")
    assert "it stings" in (caution_line(suggest("Euscorpius italicus", "group", "x")) or "")
    assert "significant sting" in (caution_line(suggest("Tityus stigmurus", "group", "x")) or "")
    assert "it bites" in (caution_line(suggest("Heterothele villosella", "group", "x")) or "")
    assert "pesticide" in (caution_line(suggest("Porcellio scaber", "group", "x")) or "")
    assert caution_line(suggest("Neoholothele incei", "group", "x")) is None


def test_collected_wood_and_leaves_carry_a_note() -> None:
    """Pesticide, heat and frost are told; bought cork is let be."""
    note = collected_note("put oak leaves from the park in tub 4") or ""
    assert "pesticide" in note
    assert "freeze" in note
    assert collected_note("new cork bark for tub 4") is None
    assert collected_note("found B under the bark, picked out a mouldy leaf") is None


@pytest.mark.parametrize(
    ("species", "expected"),
    [
        ("Poecilotheria metallica", "Poecilotheria spp.: CITES Appendix II since 26 Nov 2019"),
        ("Grammostola rosea", "Grammostola rosea: CITES Appendix II since 5 Mar 2026"),
        ("Brachypelma hamorii", "Brachypelma spp.: CITES Appendix II (by the CITES guide of 2019)"),
        ("Grammostola pulchra", "Check your local rules"),
        (None, "Check your local rules"),
    ],
)
def test_the_law_is_left_to_local_rules(species: str | None, expected: str) -> None:
    """Any legal answer names the listing with its day where known, defers to local rules, and says neither yes nor no."""
    said = legal_note(species, date(2026, 3, 9))
    assert said.startswith(expected)
    assert "local rules" in said
    assert "legal" not in said.lower()


def test_a_listing_to_come_is_said_to_come() -> None:
    """Before its day a listing is said to hold from then on."""
    assert "from 5 Mar 2026" in legal_note("Grammostola rosea", date(2026, 3, 1))


def test_anything_medical_names_a_vet() -> None:
    """Injuries, mites and weakness name a vet, without a dose."""
    assert "vet" in (vet_note(["injured"]) or "")
    assert vet_note(["out"]) is None


def test_nothing_is_called_harmless() -> None:
    """No caution, note or sheet uses the word."""
    texts = [caution_line(POKIE), caution_line(KICKER), collected_note("collected leaves"), legal_note(None, day(1))]
    assert not any("harmless" in (text or "").lower() for text in texts)
