"""Everything that the bot can be sent, with what owners and keepers, viewers and others get for it.

`covers` names what the entry stands for in the bot's own registries; `test_roles` compares them, so that none is forgotten.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bot.channels.telegram.aftermath import FACELESS
from tests.telegram.bot_api import Said
from tests.telegram.cells import Cell
from tests.telegram.talking import picture

READ_ONLY = "You may ask here but not write, so nothing was written."
OWNERS_ONLY = "Only an owner may change who is here, so nothing was changed."
NO_PHOTO = "You may ask here but not write, so the photo was not kept."
USED = "That code was used already; each lets in one person, once."
EXPIRED = "That code has run out; a code is good for a day."
CLOSED = "That question is closed by now; nothing was written."
STRANGERS = "I do not know you yet, so I kept nothing of that."
UNCLEAR = "fed the scorpion 2 crickets"
LOG = "fed Flint 3 crickets"

Act = Callable[[Cell], Any]


@dataclass(frozen=True, slots=True)
class Handler:
    """One thing that can be sent.

    does      sends it; `ready` is what the house does before, and `before` what the person does, as a keeper
    says      how the answer to an owner begins, "" for silence; `keeper` and `viewer` where it differs for those
    writes    the sorts of tables that an owner changes by it; `by_keeper` and `by_viewer` where it differs
    place     private, group, or topic; `aside` where it is said in a group to nobody in particular
    outside   how the answer to who is no member begins; `admits` where that lets them in
    """

    name: str
    does: Act
    says: str
    writes: str = ""
    covers: str = ""
    before: Act | None = None
    ready: Act | None = None
    keeper: str | None = None
    viewer: str | None = None
    by_keeper: str | None = None
    by_viewer: str = ""
    place: str = "private"
    aside: bool = False
    outside: str = STRANGERS
    admits: bool = False

    def expected(self, role: str) -> tuple[str, frozenset[str]]:
        """How the answer to a member begins, and what changes."""
        changed = {"owner": self.writes, "keeper": self.by_keeper, "viewer": self.by_viewer}[role]
        words = {"owner": self.says, "keeper": self.keeper, "viewer": self.viewer}[role]
        if words is None:
            words = READ_ONLY if role == "viewer" and self.writes else self.says
        return words, frozenset((self.writes if changed is None else changed).split())


def _say(text: str) -> Act:
    return lambda cell: cell.say(text)


def _with(text: str) -> Act:
    """Say something with what was kept by the preparation, and with a number that nothing bears yet as `new`."""
    return lambda cell: cell.say(text.format(**{"place": "low box", "new": next(cell.stage.plates), **cell.kept}))


def _made_place(cell: Cell) -> None:
    cell.kept["place"] = f"tub {next(cell.stage.plates)}"
    cell.asked(f"add {cell.kept['place']}")


def _closed(cell: Cell) -> None:
    """Somebody is on the roster no more."""
    cell.kept["gone"] = f"Reeds {next(cell.stage.plates)}"
    for words in (
        f"add group {cell.kept['gone']}, 12 incei, in tub {next(cell.stage.plates)}",
        f"close {cell.kept['gone']}",
    ):
        cell.stage.home.household.say(words)


def _scanned(cell: Cell) -> None:
    cell.kept["label"] = cell.stage.label()


def _logged(cell: Cell) -> None:
    cell.kept["said"] = cell.say(LOG)
    cell.stage.settle()
    cell.kept["echo"] = cell.place.from_bot[-1]


def _in_doubt(cell: Cell) -> None:
    cell.kept["question"] = cell.asked(UNCLEAR)


def _settled(cell: Cell) -> None:
    _in_doubt(cell)
    cell.asked("never mind")


def _someone_elses(cell: Cell) -> None:
    cell.kept["question"] = cell.asked(UNCLEAR, cell.stage.ola)


def _edit(cell: Cell) -> object:
    said = cell.kept.get("said") or cell.say("good evening")
    assert isinstance(said, Said)
    named = "" if cell.group is None else f"@{cell.stage.api.username} "
    return cell.person.edit(said, cell.marked(f"{named}fed Flint 9 crickets"))


def _reply(cell: Cell) -> object:
    return cell.say("it was 4", reply_to=cell.kept.get("echo") or cell.say("good evening"))


def _press(cell: Cell) -> object:
    question = cell.kept["question"]
    return cell.person.press(question, question.buttons[0])


def _photo(caption: str | None) -> Act:
    def act(cell: Cell) -> object:
        words = None if caption is None else cell.marked(caption)
        return cell.person.send_photo(picture(40, 30), words, cell.place, topic=cell.topic)

    return act


def _album(cell: Cell) -> object:
    return cell.person.send_album([picture(40, 30), picture(30, 40)], cell.marked(LOG), cell.place)


def _file(cell: Cell) -> object:
    return cell.person.send_document(cell.marked("x").encode(), cell.marked("notes"), chat=cell.place)


def _other(cell: Cell) -> object:
    return cell.person.post({"dice": {"emoji": "🎲", "value": 3}}, cell.place, topic=cell.topic)


def _unreadable(cell: Cell) -> object:
    chat = {"id": cell.place.id, "type": "private" if cell.group is None else "group"}
    broken = {"message_id": "seven", "chat": chat, "from": {"id": cell.person.id, "is_bot": False, "first_name": "P"}}
    return cell.stage.api.inject(message={**broken, "text": cell.marked(LOG), "date": "today"})


def _code(state: str) -> Act:
    return lambda cell: cell.kept.update(code=cell.stage.code(state))


def _newcomer(cell: Cell) -> None:
    other = cell.stage.api.user(f"Guest{next(cell.stage.plates)}")
    cell.stage.home.admit(other, role="viewer")
    cell.kept["guest"] = other.name


def _blocks(cell: Cell) -> object:
    if cell.group is None:
        cell.person.block()
        return cell.person.unblock()
    cell.group.remove_bot(cell.person)
    return cell.group.add_bot(cell.person)


def _moves(cell: Cell) -> object:
    return None if cell.group is None else cell.group.migrate(cell.person)


def _as_group(cell: Cell) -> object:
    group = {"id": cell.place.id, "type": "group", "title": "Rack"}
    text = cell.marked(f"/due@{cell.stage.api.username}")
    return cell.person.post({"text": text, "sender_chat": group}, cell.place)


def _set_aside(text: str) -> Act:
    return lambda cell: cell.say(text, aside=True)


def _first(text: str) -> Act:
    """What the person says before, and has answered."""
    return lambda cell: cell.asked(text)


_PUSHES = {"says": "I send you", "viewer": "I send you", "writes": "own", "by_viewer": "own"}
_OF_MEMBERS = {"ready": _newcomer, "says": "Guest", "keeper": OWNERS_ONLY, "viewer": OWNERS_ONLY, "by_keeper": ""}
_IN_GROUP = {"place": "group"}

HANDLERS: tuple[Handler, ...] = (
    # Words about the animals
    Handler("a log", _say(LOG), "Written: Flint: fed 3", "journal", "intent:log update:message event:Carried carried:text"),
    Handler("a move", _say("moved Quartz to tall house"), "Written: Quartz: moved", "journal"),
    Handler("words in doubt", _say(UNCLEAR), "Which one:", "own", "intent:unclear"),
    Handler("a plan", _say("remind me to feed Flint tomorrow at 9:00"), "Planned: Flint", "journal", "intent:plan"),
    Handler("no reminders", _say("no reminders for Flint till April"), "Set: Flint: no rem", "journal", "plan:stop"),
    Handler("a skip", _say("skip Flint's feeding"), "Set: Flint: skip", "journal", "plan:skip"),
    Handler("a rule", _say("Flint likes 55 to 65 % humidity"), "Set: Flint: humidity", "journal", "plan:rule"),
    Handler("away", _say("away 3 to 10 June"), "Set: away", "journal", "plan:away"),
    Handler("all done", _say("all done"), "Written: ", "journal", "turn:answering", _first("remind me to feed Larches today")),
    Handler("a question", _say("when did Nimbus last eat"), "No feeding of Nimbus", "", "intent:ask"),
    Handler("a photo asked for", _say("show me the last photo of Pebbles"), "No photo of Pebbles", "", "turn:asked"),
    Handler("a hand-over sheet", _say("sheet for Pebbles"), "Hand-over sheet: Pebbles", "", "intent:ask"),
    Handler("a sheet of one gone", _with("sheet for {gone}"), "Hand-over sheet: Reeds", "", "turn:read_of_closed", ready=_closed),
    Handler("small talk", _say("thank you"), "You are welcome.", "", "intent:chat"),
    Handler("a grave matter", _say("is it legal to keep them abroad?"), "Check your local rules", "", "turn:advise"),
    Handler("a count", _with("counted Marigolds: 1{new}"), "Written: Marigolds: counted", "journal own"),
    Handler("a count settled", _say("count again later"), "Kept as a note", "journal own", "turn:reconciling", _with("counted Rushes: 9{new}")),
    Handler("a correction", _say("make that 4"), "Changed, now: Flint: fed 4", "journal", "intent:amend amend:change", _logged),
    Handler("undo", _say("undo"), "Taken back: Flint: fed 3", "journal", "amend:retract", _logged),
    Handler("an edit", _edit, "Corrected, now: Flint: fed 9", "journal", "update:edited_message carried:edits carried:revision", _logged),
    Handler("a reply", _reply, "Changed, now: Flint: fed 4", "journal", "carried:reply_to", _logged),
    # The set-up
    Handler("add", _with("add group Willows {new}, 12 incei, in tub {new}"), "Added Willows", "roster journal", "setup:add"),
    Handler("add a place", _with("add tub {new}"), "Added the place tub", "roster", "intent:setup setup:add_place"),
    Handler("rename", _with("rename {place} to tub {new}"), "tub ", "roster", "setup:rename", _made_place),
    Handler("a size", _with("{place} is 30x20x15 cm"), "tub ", "roster", "setup:size", _made_place),
    Handler("close", _with("close {place}"), "tub ", "roster", "setup:close", _made_place),
    Handler("a tag", _with("tag {place} as top row"), "tub ", "roster", "setup:tag", _made_place),
    Handler("an alias", _with("the nook {new} is {place}"), "“the nook", "roster", "setup:alias", _made_place),
    Handler("teach", _with("RR{new} means red runner roach"), "“RR", "roster", "setup:teach"),
    Handler("forget", _say("forget RR"), "Forgotten: “RR”", "roster", "setup:forget", _first("RR means red runner roach")),
    Handler("a time zone", _say("my time zone is Europe/Lisbon"), "The time zone is", "roster", "setup:zone", _first("my time zone is Europe/Dublin")),
    Handler("units", _say("use imperial units"), "Answers are in imp", "roster", "", _first("use metric units")),
    # The pushes
    Handler("a time of the list", _say("morning list at 7:30"), covers="turn:wishes push:morning", **_PUSHES),
    Handler("no look-ins", _say("no look-ins"), covers="push:look-in", **_PUSHES),
    Handler("no plan reminders", _say("no plan reminders"), covers="push:plan", **_PUSHES),
    Handler("no leftovers questions", _say("no leftovers questions"), covers="push:leftovers", **_PUSHES),
    Handler("quiet hours", _say("quiet hours 22 to 7"), **_PUSHES),
    # Commands
    Handler("/start", _say("/start"), "Hello P", "", "command:start turn:commands"),
    Handler("/help", _say("/help"), "Tell me what you did", "", "command:help"),
    Handler("/settings", _say("/settings"), "Time zone:", "", "command:settings"),
    Handler("/due", _say("/due Pebbles"), "Nothing", "", "command:due"),
    Handler("/undo", _say("/undo"), "Taken back: Flint: fed 3", "journal", "command:undo", _logged),
    Handler("/cancel", _say("/cancel"), "Kept your words as a note", "journal own", "command:cancel", _in_doubt),
    Handler("an unknown command", _say("/frobnicate"), "I know no such command"),
    Handler("a log with a slash", _say("/fed Flint 3"), "Written: Flint", "journal"),
    # Who may
    Handler("who is here", _say("who is here"), "Here are:", "", "turn:wished"),
    Handler("a removal", _with("remove {guest}"), writes="members", **_OF_MEMBERS),
    Handler("made an owner", _with("make {guest} an owner"), writes="members", covers="role:owner", **_OF_MEMBERS),
    Handler("made a keeper", _with("make {guest} a keeper"), writes="members", covers="role:keeper", **_OF_MEMBERS),
    Handler("made a viewer", _with("make {guest} a viewer"), covers="role:viewer", **_OF_MEMBERS),
    Handler("a fresh code", _with("/start {code}"), "You are in already", ready=_code("fresh"), keeper="You are a viewer from now", by_keeper="members", outside="Welcome. You are a viewer", admits=True),
    Handler("a used code", _with("/start {code}"), USED, ready=_code("used"), viewer="You are in already", outside=USED),
    Handler("an expired code", _with("/start {code}"), EXPIRED, ready=_code("expired"), viewer="You are in already", outside=EXPIRED),
    # What is more, or other, than words
    Handler("a photo with words", _photo(LOG), "Written: Flint", "journal photos", "carries:photo carried:photo carried:carries turn:take", by_viewer="photos", aside=True),
    Handler("a photo alone", _photo(None), "Who is on the photo?", "photos own", viewer=NO_PHOTO, by_viewer="photos", aside=True),
    Handler("an album", _album, "Written: Flint", "journal photos", "carried:album", by_viewer="photos", aside=True),
    Handler("a file", _file, "I keep photos, not files", "", "carries:document", aside=True),
    Handler("a voice", lambda cell: cell.person.send_voice(chat=cell.place), "I cannot listen to voice", "", "carries:voice", aside=True),
    Handler("a sticker", lambda cell: cell.person.send_sticker(chat=cell.place), "I cannot read stickers", "", "carries:sticker", aside=True),
    Handler("another thing", _other, "I keep photos and words", "", "carries:other", aside=True),
    Handler("what cannot be read", _unreadable, "A message of yours came", "", "carries:unreadable", aside=True),
    Handler("a label scanned", _with("/start {label}"), "low box: Marigolds", "own", ready=_scanned, viewer="low box: Marigolds", by_viewer="own"),
    # Buttons: nobody outside can be asked anything, and comes upon Ola's question
    Handler("one's own button", _press, "Which one:", "journal own", "update:callback_query event:Press turn:press", _in_doubt, ready=_someone_elses, viewer="Which one:"),
    Handler("an old button", _press, CLOSED, "", "", _settled, ready=_someone_elses),
    Handler("somebody else's button", _press, "That question was put to Ola.", ready=_someone_elses, **_IN_GROUP),
    # Groups
    Handler("a command in a group", _say("/help"), "Tell me what you did", **_IN_GROUP),
    Handler("a mention in a group", _say(LOG), "Written: Flint", "journal", "carried:addressed carried:private", **_IN_GROUP),
    Handler("a mention in a topic", _say(LOG), "Written: Flint", "journal", place="topic"),
    Handler("overheard talk", _set_aside("see you at eight then"), "", aside=True, **_IN_GROUP),
    Handler("an overheard log", _set_aside(LOG), "Written: Flint", "journal", aside=True, **_IN_GROUP),
    Handler("words of the group itself", _as_group, FACELESS, "", "event:Faceless", outside=FACELESS, **_IN_GROUP),
    # The chat itself
    Handler("blocked and opened", _blocks, "", "", "update:my_chat_member event:Blocked event:Unblocked", outside=""),
    Handler("a group that moves", _moves, "", "", "event:Moved", outside="", **_IN_GROUP),
)  # fmt: skip
"""In groups and topics Ola is there too, except with a mere stranger, who is alone with the bot there."""
