"""Photos and files: fetched and kept, and sent."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from bot.channels.media import media_type
from storage import photos
from tests.telegram.bot_api import BotApi
from tests.telegram.served import Home, bot_at
from tests.telegram.talking import picture


def states(kept: Home) -> dict[str, int]:
    with kept.household.app.store.read() as session:
        return photos.counted(session, kept.household.collection.id)


def in_form(form: str) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, form)
    return out.getvalue()


@pytest.mark.parametrize(
    ("form", "kind"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("GIF", "image/gif"), ("WEBP", "image/webp")]
)
def test_a_picture_is_known_by_its_first_bytes(form: str, kind: str) -> None:
    """What a file is does not hang on what it is called."""
    assert media_type(in_form(form)) == kind
    assert media_type(b"x" + in_form(form)) is None


def test_a_photo_is_kept_and_sent_back(bot_api: BotApi, tmp_path: Path) -> None:
    """A photo's file is fetched in its largest size, kept byte for byte, and comes back when asked for."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        said = ann.send_photo(picture(1280, 960), "Flint ate")
        bot_api.wait(lambda: states(kept) == {"kept": 1})
        original = bot_api.file(str(ann.chat.message(said.id).photo))
        assert [path.read_bytes() for path in (kept.folder / "photos").rglob("*.jpg")] == [original]
        ann.say("show me the last photo of Flint")
        bot_api.wait(lambda: ann.chat.from_bot and ann.chat.from_bot[-1].photo)
        shown = ann.chat.from_bot[-1]
        assert shown.text.startswith("Flint")
        with Image.open(io.BytesIO(bot_api.file(str(shown.photo)))) as back:
            assert back.size == (1280, 960)


def test_a_photo_that_the_service_lost_is_told_of(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the service does not have the file, or it is no picture, its sender is asked to send it again."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    gone = {"file_id": "gone", "file_unique_id": "u", "width": 9, "height": 9}
    text = ann.call("document", content="bm8gcGljdHVyZQ==", name="x", mime="image/jpeg")["document"]
    fake = {"file_id": text["file_id"], "file_unique_id": "v", "width": 9, "height": 9}
    with bot_at(bot_api, tmp_path / "home", ann, bo) as kept:
        ann.post({"photo": [gone], "caption": "Flint ate"})
        bo.post({"photo": [fake], "caption": "Quartz ate"})
        bot_api.wait(lambda: states(kept) == {"lost": 2})
        bot_api.wait(lambda: all("could not be fetched" in person.chat.texts[-1] for person in (ann, bo)))


def test_a_photo_that_cannot_be_had_now_is_wanted_later(
    bot_api: BotApi, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """After an error of the service the photo is still wanted."""
    ann = bot_api.user("Ann")
    bot_api.fail_next(502, method="getFile")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        ann.send_photo(picture(), "Flint ate")
        bot_api.wait(lambda: "could not be fetched now" in caplog.text)
        bot_api.wait(lambda: ann.chat.texts)
        assert states(kept) == {"wanted": 1}


def test_files_go_as_photo_or_document(bot_api: BotApi, tmp_path: Path) -> None:
    """A chart goes as a photo with its caption, a file as a document by its name, a photo that is none to show as a document."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        (kept.folder / "chart.png").write_bytes(picture(640, 320))
        (kept.folder / "sheet.csv").write_text("day,what\n")
        (kept.folder / "strip.png").write_bytes(picture(2100, 20))
        kept.put(ann.chat, "Sizes <mm>", files=[{"path": "chart.png", "kind": "photo", "name": ""}])
        kept.put(ann.chat, "", files=[{"path": "sheet.csv", "kind": "document", "name": "records.csv"}])
        kept.put(ann.chat, "long", files=[{"path": "strip.png", "kind": "photo", "name": ""}], choices=["more"])
        bot_api.wait(lambda: len(ann.chat.from_bot) == 3)
        chart, sheet, strip = ann.chat.from_bot
        assert chart.photo
        assert chart.text == "Sizes <mm>"
        assert sheet.raw["document"]["file_name"] == "records.csv"
        assert strip.raw["document"]["file_name"] == "strip.png"
        assert strip.labels == ["more"]


def test_a_hand_over_sheet_comes_as_a_document(bot_api: BotApi, tmp_path: Path) -> None:
    """Its words are too long for a caption, so the PDF comes after them, called after whom it is of."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        ann.say("sheet for Flint")
        bot_api.wait(lambda: len(ann.chat.from_bot) == 2)
        words, file = ann.chat.from_bot
        assert words.text.startswith("Hand-over sheet: Flint\n")
        assert file.raw["document"]["file_name"].startswith("sheet Flint ")
        assert file.raw["document"]["mime_type"] == "application/pdf"
        [lies] = (kept.folder / "pictures").glob("*.pdf")
        assert bot_api.file(file.raw["document"]["file_id"]) == lies.read_bytes()


def test_a_file_that_is_gone_holds_no_chat_up_for_long(bot_api: BotApi, tmp_path: Path) -> None:
    """A file that is not in the data folder counts as refused; it is not asked of the service."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        lost = kept.put(ann.chat, "chart", files=[{"path": "none.png", "kind": "photo", "name": ""}])
        bot_api.wait(lambda: kept.outgoing(lost).tries == 1)
        assert "FileNotFoundError" in str(kept.outgoing(lost).error)
    assert bot_api.requested("sendPhoto") == []


def test_several_files_of_one_reply_follow_each_other(bot_api: BotApi, tmp_path: Path) -> None:
    """The words and the choices stand with the first file."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        for name in ("a.png", "b.png"):
            (kept.folder / name).write_bytes(picture(64, 32))
        files = [{"path": name, "kind": "photo", "name": ""} for name in ("a.png", "b.png")]
        both = kept.put(ann.chat, "two", files=files, choices=["more"])
        bot_api.wait(lambda: kept.outgoing(both).sent)
        first, second = ann.chat.from_bot
        assert (first.text, first.labels, second.text, second.labels) == ("two", ["more"], "", [])
        assert first.photo
        assert second.photo
        assert kept.outgoing(both).service_id == str(first.id)
