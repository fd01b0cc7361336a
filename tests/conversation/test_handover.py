"""Hand-over sheets asked for in talk: the PDF goes along, photos that show it alone are in it, what was taken back is not."""

from __future__ import annotations

import io

import pypdfium2
import pypdfium2.raw
import pytest
from PIL import Image

from bot.channels.port import WantedPhoto
from storage import photos
from tests.conversation.chatting import TELEGRAM, Chat


def keep_photos(chat: Chat, colour: str) -> None:
    """Have every photo that is wanted fetched: pictures of one colour."""
    out = io.BytesIO()
    Image.new("RGB", (80, 60), colour).save(out, "JPEG")
    with chat.session() as session:
        wanted = photos.wanted(session, TELEGRAM, chat.clock.now())
    for row in wanted:
        chat.desk.keep_photo(WantedPhoto(row.id, row.reference), out.getvalue(), "image/jpeg")


def send(chat: Chat, words: str, colour: str) -> None:
    chat.photo(words)
    keep_photos(chat, colour)


def sheet(chat: Chat, text: str) -> tuple[str, dict[str, str]]:
    """The words of a sheet and its file. The words are too long to be a caption, so the file comes after them."""
    words, last = chat.say(text)
    assert words.body.get("files", []) == []
    [file] = last.body["files"]
    return words.body["text"], file


def pictures(chat: Chat, text: str) -> list[tuple[int, ...]]:
    """The colours of the pictures in the PDF that a request brings."""
    _words, file = sheet(chat, text)
    found = []
    for page in pypdfium2.PdfDocument(chat.desk.file(file["path"])):
        for one in page.get_objects(filter=(pypdfium2.raw.FPDF_PAGEOBJ_IMAGE,)):
            colour = one.get_bitmap().to_pil().convert("RGB").getpixel((5, 5))
            assert isinstance(colour, tuple)
            found.append(tuple(round(share / 255) for share in colour))
    return found


@pytest.mark.parametrize(
    "text",
    [
        "sheet for Flint",
        "hand-over sheet for Flint",
        "make a handover sheet for Flint please",
        "send me the sheet for Flint without photos",
        "can you make a pdf of Flint?",
    ],
)
def test_a_sheet_comes_with_its_pdf(chat: Chat, text: str) -> None:
    """As a document of the data folder, which is there; nothing is written."""
    chat.hear("fed Flint 3 crickets")
    before = chat.lines()
    words, file = sheet(chat, text)
    assert words.startswith("Hand-over sheet: Flint\nHadogenes paucidens, one animal.\n")
    assert "Last fed on Tue 3 Mar 2026: 3 crickets" in words
    assert (file["kind"], file["name"]) == ("document", "sheet Flint 2026-03-03.pdf")
    assert chat.desk.file(file["path"]).read_bytes().startswith(b"%PDF-")
    assert chat.lines() == before


def test_only_photos_that_show_it_alone_are_on_it(chat: Chat) -> None:
    """Told of it or of the place where it lives alone; not of several, nor of another."""
    send(chat, "Flint moulted", "red")
    send(chat, "sand tray 1 misted", "lime")
    send(chat, "fed Flint and Quartz", "blue")
    send(chat, "Quartz moulted", "yellow")
    assert pictures(chat, "sheet for Flint") == [(1, 0, 0), (0, 1, 0)]
    assert pictures(chat, "sheet for Flint without photos") == []
    assert pictures(chat, "sheet for Quartz") == [(1, 1, 0)]


def test_the_newest_six_photos_are_on_it(chat: Chat) -> None:
    """From old to new, and that there are more."""
    for number in range(8):
        send(chat, f"fed Flint {number + 1} crickets", "red" if number < 3 else "blue")
    told, _file = sheet(chat, "sheet for Flint")
    assert "The newest 6; older ones are left out." in told
    assert pictures(chat, "sheet for Flint") == [(1, 0, 0), *[(0, 0, 1)] * 5]


def test_a_photo_whose_file_is_gone_is_said_to_be_missing(chat: Chat) -> None:
    """Or whose bytes are no picture; the sheet is made all the same."""
    send(chat, "Flint moulted", "red")
    for path in (chat.desk.folder / "photos").rglob("*.jpg"):
        path.write_bytes(b"spoilt")
    assert "1 photo could not be printed." in sheet(chat, "sheet for Flint")[0]
    assert pictures(chat, "sheet for Flint") == []


def test_a_corrected_photo_follows_its_entry(chat: Chat) -> None:
    """What was told of another first shows that one no more; what was taken back shows nobody."""
    send(chat, "Quartz moulted", "red")
    chat.hear("no, that was Flint")
    assert pictures(chat, "sheet for Quartz") == []
    assert pictures(chat, "sheet for Flint") == [(1, 0, 0)]
    chat.hear("undo")
    chat.hear("undo")
    assert pictures(chat, "sheet for Flint") == []


def test_undo_and_corrections_are_followed(chat: Chat) -> None:
    """The sheet is of what stands."""
    chat.hear("Flint 12.5 g")
    chat.hear("undo")
    chat.hear("Flint 12.6 g")
    chat.hear("make that 12.7")
    told = chat.hear("sheet for Flint")
    assert "weight 12.7 g" in told
    assert "12.5" not in told
    assert "12.6" not in told


def test_a_sale_told_in_talk_has_its_sheet(chat: Chat) -> None:
    """By who took them; without the name on the sheet unless that is wanted."""
    chat.hear("sold 6 of the Marigolds to Rui")
    chat.hear("fed Marigolds 9 crickets")
    told = chat.hear("make a sheet for the ones I sold to Rui")
    assert told.startswith(
        "Hand-over sheet: Marigolds\nNeoholothele incei, a group.\nFor 6 of them, that left on Tue 3 Mar 2026."
    )
    assert "Rui" not in told
    assert "“sold 6 of the Marigolds to Rui”" in chat.hear("sheet for the ones I sold to Rui with names")


def test_a_brood_and_a_split_are_told_of(chat: Chat) -> None:
    """As talk set them up, the parent by its species alone."""
    chat.hear("Rushes sac hatched, 50 young")
    chat.hear("add brood Pips, 48, from Rushes, in pip box")
    told = chat.hear("sheet for Pips")
    assert "They are a brood of a group of Heterothele villosella, set up apart on Tue 3 Mar 2026." in told
    assert "hatched Tue 3 Mar 2026, 50 young." in told
    chat.hear("split 5 of the Marigolds off to oak box")
    told = chat.hear("sheet for Marigolds offshoot")
    assert "They are split off from a group of Neoholothele incei on Tue 3 Mar 2026." in told
    assert "5 by the keeper's records." in told


def test_a_pronoun_means_whoever_was_talked_of(chat: Chat) -> None:
    """And the care sheet is still another answer."""
    chat.hear("fed Flint 3 crickets")
    assert chat.hear("make a sheet for him").startswith("Hand-over sheet: Flint")
    assert not chat.hear("show the care sheet for Flint").startswith("Hand-over sheet")


def test_a_viewer_may_ask_and_a_question_stays_open(chat: Chat) -> None:
    """A sheet writes nothing, and is no answer to what is in doubt."""
    assert chat.hear("sheet for Flint", by="vic").startswith("Hand-over sheet: Flint")
    chat.hear("fed 3 roaches")
    told, _file = sheet(chat, "sheet for Flint")
    assert told.endswith("Still open: Which one was it for?")


def test_one_that_is_off_the_roster_has_its_sheet(chat: Chat) -> None:
    """As usual after a sale; a name that is given anew means the new one, and other words of a sheet stay what they are."""
    chat.hear("fed Flint 3 crickets")
    chat.hear("sold Flint to Rui")
    chat.hear("close Flint")
    for text in ("sheet for Flint", "hand-over sheet for flint without photos", "sheet for the one I sold to Rui"):
        told = chat.hear(text)
        assert told.startswith("Hand-over sheet: Flint\n"), told
        assert "3 crickets" in told
    assert chat.hear("the sheet of paper is for Flint").startswith("I wrote nothing down")
    chat.hear("add animal Flint, Hadogenes paucidens, in tub 9")
    told = chat.hear("sheet for Flint")
    assert "3 crickets" not in told
    assert told.startswith("Hand-over sheet: Flint\n")
