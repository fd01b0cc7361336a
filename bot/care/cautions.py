"""Words of caution: bites, hairs, stings, things collected outside, the law, and when a vet is to be asked.

No line here says that anything is harmless: cramps after a bite may come hours later. None names a dose, and none says
legal or illegal: rules differ by country, state, town and lease.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from bot.care.sheet import CareSheet
from bot.care.words import full_day

CAUTIONED_ACTS = frozenset({"move", "feeding"})
"""Acts with which a caution is told."""

QUIET = timedelta(days=7)
"""Once told, a caution is left unsaid for a week."""

HELP = "bite, eye or breathing trouble: call your local emergency or poison service"

COLLECTED = (
    "Collected wood or leaves: only from unsprayed places, since neither heat nor frost takes pesticide out; "
    "scrub, then bake at 90 to 120 °C for 30 to 120 minutes (stay by it) or freeze at -18 °C for 3 days "
    "(common practice)."
)

NO_DOSE = (
    "I name no medicine and no dose, and make no diagnosis. A vet who sees exotic animals can help; until then water, quiet "
    "and nothing else."
)

HARM = (
    "Bite, eye or breathing trouble: call your local emergency or poison service. After a bite cramps may come hours later; "
    "with hairs in an eye do not rub, rinse with water, and see an eye doctor and say what animal it was."
)

_HARM = re.compile(
    r"\b(?:bit|bites|stung|stings?|nipped|tagged|pricked) (?:me|my|us|our)\b"
    r"|\b(?:i|we)(?: have|'ve)?(?: just)?(?: was| were| got| been| have been)(?: just)? (?:bitten|stung|nipped|tagged)\b"
    r"|\bmy (?:\w+ )?(?:\w+) (?:was|got|has been) (?:bitten|stung|nipped|tagged)\b"
    r"|\bhairs? (?:in|into|on) (?:my|our|the|his|her) (?:\w+ )?(?:eyes?|face|throat|lungs?)\b"
    r"|\b(?:can'?t|cannot|trouble|difficulty|hard to|struggling to) breath(?:e|ing)?\b|\bshort of breath\b",
    re.IGNORECASE,
)
"""A person was hurt: an animal that was bitten itself ("B got bitten") is none."""

_COLLECTED = re.compile(
    r"\b(?:collected|gathered|foraged|brought in|from the (?:woods?|forest|garden|park))\b", re.IGNORECASE
)
_NATURAL = re.compile(r"\b(?:wood|bark|branch(?:es)?|twigs?|leaf|leaves|litter|moss|logs?)\b", re.IGNORECASE)
_MEDICAL_SIGNS = frozenset({"injured", "mites", "lethargic"})


@dataclass(frozen=True, slots=True)
class Listing:
    """Species listed in a CITES appendix: a genus, or some of its species; since when, and whether that was read or reckoned."""

    genus: str
    species: frozenset[str]
    appendix: str
    since: date | None
    note: str = ""


LISTINGS = (
    Listing("Poecilotheria", frozenset(), "II", date(2019, 11, 26), "CoP18 Prop. 46"),
    Listing("Brachypelma", frozenset(), "II", None),
    Listing("Tliltocatl", frozenset(), "II", None, "listed as Brachypelma"),
    Listing("Aphonopelma", frozenset({"pallidum"}), "II", None),
    Listing("Sericopelma", frozenset({"angustum", "embrithes"}), "II", None),
    Listing(
        "Grammostola",
        frozenset({"rosea"}),
        "II",
        date(2026, 3, 5),
        "adopted at CoP20, the day reckoned by the 90-day rule",
    ),
)
"""Spiders of the trade by the CITES guide of 2019 and the decisions of CoP18 and CoP20; the appendices in force go before."""


def caution_about(names: str, line: str) -> str:
    """Say of whom a caution is: "Caution with Pumpkin: …"."""
    head, colon, rest = line.partition(":")
    return f"{head} with {names}{colon}{rest}" if head == "Caution" else line


def caution_line(sheet: CareSheet) -> str | None:
    """The sheet's caution in one line; None where it has none."""
    kinds, said = sheet.cautions.kinds, []
    if "bite" in kinds:
        grave = "medically significant bite, cramps may come hours later" if sheet.cautions.significant else "it bites"
        said.append(grave)
    if "sting" in kinds:
        said.append("medically significant sting" if sheet.cautions.significant else "it stings")
    if "hairs" in kinds:
        said.append("urticating hairs: cover eyes and skin, do not rub an eye")
    if not said:
        return COLLECTED if "collected" in kinds else None
    return f"Caution: {'; '.join(said)}. In case of {HELP}."


def collected_note(words: str) -> str | None:
    """A note where wood or leaves from outside are spoken of; None otherwise."""
    if not (_COLLECTED.search(words) and _NATURAL.search(words)):
        return None
    return COLLECTED


def harm_note(words: str) -> str | None:
    """Whom to call where a person was bitten or stung, or has trouble with eyes or breath; None otherwise."""
    return HARM if _HARM.search(words.replace("\u2019", "'")) else None


def legal_note(species: str | None, today: date) -> str:
    """The answer to any question of law: check the local rules, with the CITES listing and its day where it is known."""
    deferred = (
        "Check your local rules: countries, states, towns and leases differ, and I cannot tell what holds for you."
    )
    listed = cites_note(species, today)
    return deferred if listed is None else f"{listed} {deferred}"


def cites_note(species: str | None, today: date) -> str | None:
    """The CITES listing of a species with its day, as a sentence; None where none is known here, which says nothing."""
    found = listing_of(species)
    if found is None:
        return None
    name = f"{found.genus} {(species or '').split()[1].lower() if found.species else 'spp.'}"
    if found.since is None:
        when = " (by the CITES guide of 2019)"
    else:
        tense = "since" if found.since <= today else "from"
        when = f" {tense} {full_day(found.since)}"
    note = f" ({found.note})" if found.note else ""
    return f"{name}: CITES Appendix {found.appendix}{when}{note}; see cites.org for the list in force."


def listing_of(species: str | None) -> Listing | None:
    """The CITES listing of a species as far as known here; None says nothing."""
    words = re.findall(r"[a-z]+", (species or "").lower())
    for listing in LISTINGS:
        if words[:1] == [listing.genus.lower()] and (not listing.species or set(words[1:2]) & listing.species):
            return listing
    return None


def vet_note(signs: Iterable[str]) -> str | None:
    """Where signs are medical, name who may help: a vet; None otherwise. No dose, no diagnosis."""
    if not _MEDICAL_SIGNS & set(signs):
        return None
    return "A vet who sees exotic animals can help; until then water, quiet and nothing else."
