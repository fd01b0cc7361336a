"""The homeserver of the tests is real: two people talk through it, in plain and in encrypted rooms."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable

import aiohttp
import pytest
from nio import RoomSendError

from tests.matrix.homeserver import Account, Cast, Homeserver, Story
from tests.matrix.homeserver.attachments import picture
from tests.matrix.homeserver.server import ServerRefused
from tests.patience import PATIENCE

pytestmark = pytest.mark.slow

both_kinds_of_room = pytest.mark.parametrize("encrypted", [False, True], ids=["plain", "encrypted"])


def stored(homeserver: Homeserver, account: Account, room: str, event_id: str) -> dict[str, object]:
    """An event as the server keeps it."""
    return homeserver.ask("GET", f"/_matrix/client/v3/rooms/{room}/event/{event_id}", token=account.access_token)


@both_kinds_of_room
def test_what_one_says_the_other_hears(story: Story, homeserver: Homeserver, *, encrypted: bool) -> None:
    """Text, a reply and a mention arrive as sent, and back; the server can read them in a plain room only."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=encrypted)
        asked = await ana.say(room, "fed B 3", html="<b>fed</b> B 3")
        heard = await ben.hears(room, "fed B 3")
        assert (heard.event_id, heard.sender, heard.encrypted) == (asked, ana.user_id, encrypted)
        assert (heard.msgtype, heard.formatted_body) == ("m.text", "<b>fed</b> B 3")
        await ben.say(room, "Written", reply_to=asked, mentions=[ana.user_id])
        answer = await ana.hears(room, "Written")
        assert (answer.reply_to, answer.mentions) == (asked, (ana.user_id,))
        kept = json.dumps(stored(homeserver, ana.account, room, asked))
        assert ("fed B 3" in kept) is not encrypted

    story(tale)


@both_kinds_of_room
def test_what_was_said_is_edited_reacted_to_and_taken_back(story: Story, *, encrypted: bool) -> None:
    """An edit says the new words, a reaction its sign, a redaction which event is gone."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=encrypted)
        said = await ana.say(room, "fed B 3")
        await ana.edit(room, said, "fed B 4")
        edit = await ben.hears(room, "fed B 4")
        assert edit.edits == said
        await ben.react(room, said, "1️⃣")
        reaction = await ana.hears(room, lambda event: bool(event.key))
        assert (reaction.reacts_to, reaction.key, reaction.sender) == (said, "1️⃣", ben.user_id)
        await ana.redact(room, said, "typed wrongly")
        gone = await ben.hears(room, lambda event: event.kind == "m.room.redaction")
        assert (gone.redacts, gone.sender) == (said, ana.user_id)

    story(tale)


@both_kinds_of_room
def test_photos_go_both_ways(story: Story, *, encrypted: bool) -> None:
    """A photo arrives byte for byte with its caption; in an encrypted room the server holds other bytes."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=encrypted)
        await ana.send_photo(room, picture("saddlebrown"), caption="B 3 has moulted")
        shown = await ben.hears(room, "B 3 has moulted")
        assert (shown.msgtype, "file" in shown.content) == ("m.image", encrypted)
        assert await ben.fetch(shown) == picture("saddlebrown")
        await ben.send_photo(room, picture("olive"))
        assert await ana.fetch(await ana.hears(room, "photo.jpg")) == picture("olive")

    story(tale)


@pytest.mark.parametrize(("end", "encrypted"), [(Homeserver.stop, False), (Homeserver.kill, True)])
def test_people_go_on_after_the_server_was_away(
    story: Story, homeserver: Homeserver, end: Callable[[Homeserver], None], *, encrypted: bool
) -> None:
    """While the server is down nothing can be said; once it is back, what was said before is there, and talk goes on."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=encrypted)
        await ana.say(room, "before")
        await asyncio.to_thread(end, homeserver)
        with pytest.raises(aiohttp.ClientError):
            await ana.say(room, "meanwhile")
        await asyncio.to_thread(homeserver.start)
        await ben.hears(room, "before")
        await ana.say(room, "after")
        await ben.hears(room, "after")
        assert [event.body for event in ben.all_in(room) if event.body] == ["before", "after"]

    story(tale)


def test_sixty_messages_said_while_one_is_away_are_heard_in_order(story: Story) -> None:
    """A device that comes back with its store reads all that was said to it, in order."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=True)
        await ben.disconnect()
        for number in range(60):
            await ana.say(room, f"message {number}")
        back = await cast.at(ben.account)
        heard = await back.hears_messages(room, 60)
        assert [event.body for event in heard] == [f"message {number}" for number in range(60)]

    story(tale)


def test_a_new_device_reads_what_is_said_from_then_on(story: Story) -> None:
    """One more device of the same user cannot read what was said before, and hears also what the first one says."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben, encrypted=True)
        await ben.say(room, "before")
        await ana.hears(room, "before")
        tablet = await cast.new_device(ana)
        for one in (ana, ben):
            await one.knows_device(tablet.user_id, tablet.account.device_id)
        await ben.say(room, "after")
        await tablet.hears(room, "after")
        await ana.say(room, "from the telephone")
        await tablet.hears(room, "from the telephone")
        assert [event.kind for event in tablet.all_in(room)].count("m.room.encrypted") == 1

    story(tale)


def test_a_plain_room_is_encrypted_from_when_that_is_turned_on(story: Story) -> None:
    """What is said before comes plain and what is said after encrypted, and both are read."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        ben = await cast.person("ben")

        async def joins_when_asked() -> None:
            await ben.until(lambda: bool(ben.nio.invited_rooms), PATIENCE, lambda: "an invitation")
            await ben.join(next(iter(ben.nio.invited_rooms)))

        room, _ = await asyncio.gather(ana.room_with(ben.user_id), joins_when_asked())
        await ana.say(room, "before")
        await ana.turn_on_encryption(room)
        await ana.knows_device(ben.user_id)
        await ana.say(room, "after")
        assert not (await ben.hears(room, "before")).encrypted
        assert (await ben.hears(room, "after")).encrypted

    story(tale)


def test_a_limited_user_is_told_to_wait(story: Story, homeserver: Homeserver) -> None:
    """With a limit of one message a second, the second at once gets 429; without it all pass again."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        room = await ana.makes_room()
        homeserver.limit(ana.account, per_second=1, burst=1)
        refusals: list[RoomSendError] = []

        async def refused(said: RoomSendError) -> None:
            refusals.append(said)

        ana.nio.add_response_callback(refused, RoomSendError)
        for number in range(2):
            await ana.say(room, f"message {number}")
        assert {said.status_code for said in refusals} == {"M_LIMIT_EXCEEDED"}
        assert all(said.retry_after_ms for said in refusals)
        homeserver.lift_limit(ana.account)
        seen = len(refusals)
        for number in range(5):
            await ana.say(room, f"message {number}")
        assert len(refusals) == seen

    story(tale)


def test_reading_and_typing_are_seen(story: Story) -> None:
    """A read receipt and that somebody types reach the others in the room."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben)
        said = await ana.say(room, "fed B 3")
        await ben.hears(room, "fed B 3")
        await ben.nio.update_receipt_marker(room, said)
        await ana.sees_read(room, ben.user_id, said)
        await ben.nio.room_typing(room)
        await ana.until(lambda: ana.typing.get(room) == (ben.user_id,), PATIENCE, lambda: "ben typing")

    story(tale)


def test_silence_is_heard_too(story: Story) -> None:
    """Who waits for silence fails when somebody speaks, and who waits for words fails in silence, saying what came."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        room = await cast.room(ana, ben)
        await ana.hears_nothing(room, 0.2)
        await ben.say(room, "hello")
        await ana.until(lambda: "hello" in [event.body for event in ana.all_in(room)], PATIENCE, lambda: "hello")
        with pytest.raises(AssertionError, match="hello"):
            await ana.hears_nothing(room, 0)
        with pytest.raises(AssertionError, match=r"waited 0\.2 s for 'Written'.*hello"):
            await ana.hears(room, "Written", 0.2)

    story(tale)


def test_a_logged_out_device_is_unknown(homeserver: Homeserver) -> None:
    """After a logout the token is refused as unknown; another device of the user goes on."""
    first = homeserver.user("cara")
    second = homeserver.login(first)
    homeserver.logout(first)
    with pytest.raises(ServerRefused, match=r"401.*M_UNKNOWN_TOKEN"):
        homeserver.ask("GET", "/_matrix/client/v3/account/whoami", token=first.access_token)
    said = homeserver.ask("GET", "/_matrix/client/v3/account/whoami", token=second.access_token)
    assert (said["user_id"], said["device_id"]) == (first.user_id, second.device_id)
