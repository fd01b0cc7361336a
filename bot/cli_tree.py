"""The tree of verbs and options of the `rackside` command.

Each verb names the one function that does it, as "module:function"; that module is imported only when its verb is used.
"""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from bot.settings import UNITS

Verbs = Any
"""What argparse hands out for adding verbs; its class is not public."""


def build_parser() -> ArgumentParser:
    """The whole tree of verbs and options, each with its help."""
    parser = ArgumentParser(
        prog="rackside",
        description="Text a line about your animals in your own words, and ask about it later.",
        epilog="Where the data lies: --data DIR, else the variable RACKSIDE_DATA, else your user data folder.",
    )
    verbs = parser.add_subparsers(title="verbs", metavar="VERB", required=True)
    _add_talking(verbs)
    _add_serving(verbs)
    _add_matrix(verbs)
    _add_printing(verbs)
    _add_reading(verbs)
    _add_roster(verbs)
    _add_import(verbs)
    _add_export(verbs)
    _add_keeping(verbs)
    _verb(verbs, "version", "bot.cli_version:version", "Print the version of Rackside.")
    return parser


def _verb(verbs: Verbs, name: str, function: str, text: str) -> ArgumentParser:
    """Add one verb: what it says in the list of verbs and at the top of its own help is the same sentence."""
    added: ArgumentParser = verbs.add_parser(name, help=text, description=text)
    added.set_defaults(verb=function)
    return added


def _add_data(parser: ArgumentParser) -> None:
    parser.add_argument("--data", type=Path, metavar="DIR", help="folder that holds the data; it is made if need be")


def _add_collection(parser: ArgumentParser) -> None:
    """For verbs that are about one collection: the folder, and which of several."""
    _add_data(parser)
    parser.add_argument(
        "--collection", metavar="NAME", help="which collection, where there are several; else the first"
    )


def _add_talking(verbs: Verbs) -> None:
    chat = _verb(
        verbs, "chat", "bot.cli_talk:chat", "Talk in the terminal: log what you did, ask what you want to know."
    )
    _add_collection(chat)
    chat.add_argument("--demo", action="store_true", help="use the demo collection, in a copy that is thrown away")
    chat.add_argument(
        "--roster", type=Path, metavar="FILE", help="first add the places and animals of this roster file"
    )
    say = _verb(verbs, "say", "bot.cli_talk:say", "Say one message and print the reply, for use in scripts.")
    say.add_argument("text", metavar="TEXT", help="the message, in quotes")
    _add_collection(say)
    replay = _verb(
        verbs,
        "replay",
        "bot.cli_replay:replay",
        "Play a season of messages through the conversation under a simulated clock; replies come out as JSON lines.",
    )
    replay.add_argument("script", type=Path, metavar="SCRIPT.jsonl", help="the messages, one JSON object on each line")
    replay.add_argument("--roster", type=Path, metavar="FILE", help="the roster that the season starts with")
    replay.add_argument("--keep", type=Path, metavar="DIR", help="keep the resulting data folder here")


def _add_serving(verbs: Verbs) -> None:
    run = _verb(verbs, "run", "bot.cli_run:run", "Serve every message service that is set up, until told to stop.")
    _add_data(run)
    health = _verb(
        verbs, "health", "bot.cli_health:health", "Say whether `rackside run` goes on, by its signs of life."
    )
    _add_data(health)
    invite = _verb(verbs, "invite", "bot.cli_run:invite", "Print a code that lets one person in, once, within a day.")
    _add_collection(invite)
    invite.add_argument(
        "--role",
        choices=("owner", "keeper", "viewer"),
        default="keeper",
        help="what the person may do; keeper if left out",
    )
    invite.add_argument("--json", action="store_true", help="print JSON, for scripts")
    _add_collections(verbs)
    doctor = _verb(
        verbs, "doctor", "bot.cli_doctor:doctor", "Look whether everything is in order, and say what is not."
    )
    _add_data(doctor)


def _add_collections(verbs: Verbs) -> None:
    text = "Keep several collections on one bot, each apart from the others."
    kinds = verbs.add_parser("collection", help=text, description=text).add_subparsers(
        title="verbs", metavar="VERB", required=True
    )
    add = _verb(kinds, "add", "bot.cli_collection:add", "Begin one more, and print a code for its owner.")
    add.add_argument("name", metavar="NAME", help="what it is called; no two have the same name")
    add.add_argument("--zone", metavar="ZONE", help="its time zone, such as Europe/Lisbon; this machine's if left out")
    add.add_argument("--units", choices=UNITS, default="metric", help="in which answers are given; metric if left out")
    _add_data(add)
    _add_data(_verb(kinds, "list", "bot.cli_collection:list_all", "List them, with what is in each."))


def _add_matrix(verbs: Verbs) -> None:
    text = "Log the bot in to Matrix, or out."
    kinds = verbs.add_parser("matrix", help=text, description=text).add_subparsers(
        title="verbs", metavar="VERB", required=True
    )
    login = _verb(kinds, "login", "bot.cli_matrix:log_in", "Log the bot's account in, on a new device of its own.")
    _add_data(login)
    login.add_argument("--homeserver", metavar="URL", required=True, help="the address that clients connect to")
    login.add_argument("--user", metavar="@BOT:HOST", required=True, help="the bot's account")
    login.add_argument(
        "--password-file", type=Path, metavar="FILE", help="file with its password; asked for if left out"
    )
    _add_data(_verb(kinds, "logout", "bot.cli_matrix:log_out", "End the bot's device, and throw its keys away."))


def _add_printing(verbs: Verbs) -> None:
    picture = _verb(
        verbs,
        "picture",
        "bot.cli_picture:picture",
        "Draw what you ask for in plain words: “humidity of tub 4 since March”, “head count of B”.",
    )
    picture.add_argument("words", metavar="WORDS", help="what to draw, in quotes")
    picture.add_argument(
        "--out", type=Path, metavar="FILE.png", help="where to save it; without it the finding is said"
    )
    picture.add_argument("--dark", action="store_true", help="on a dark ground")
    _add_collection(picture)
    labels = _verb(
        verbs,
        "labels",
        "bot.cli_labels:print_labels",
        "Print labels for enclosures, with a code that opens the chat there.",
    )
    _add_collection(labels)
    labels.add_argument("--pdf", type=Path, metavar="FILE.pdf", required=True, help="where to write the sheet")
    labels.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="the paper; A4 if left out")
    labels.add_argument(
        "--size", choices=("small", "medium", "large"), default="medium", help="of a label; medium if left out"
    )
    labels.add_argument(
        "--only", metavar="NAME", action="append", help="a place or a tag; may be given again; all places if left out"
    )
    labels.add_argument("--bot", metavar="NAME", help="the bot's name on Telegram, where it was never run here")
    sheet = _verb(
        verbs,
        "sheet",
        "bot.cli_sheet:sheet",
        "Make a hand-over sheet of an animal or a lot, for whoever takes it over.",
    )
    sheet.add_argument("whose", metavar="NAME", help="a name of the roster, or words: “the ones I sold to Rui”")
    sheet.add_argument("--out", type=Path, metavar="FILE.pdf", help="where to save the PDF")
    sheet.add_argument("--text", action="store_true", help="print it in plain words")
    sheet.add_argument(
        "--with", dest="including", metavar="WHAT", action="append", help="notes, names: left out unless asked for"
    )
    sheet.add_argument(
        "--without", metavar="WHAT", action="append", help="leave out: photos, feeding, …, parted by commas"
    )
    sheet.add_argument("--only", metavar="WHAT", action="append", help="nothing but these, parted by commas")
    _add_collection(sheet)


def _add_reading(verbs: Verbs) -> None:
    parse = _verb(
        verbs, "parse", "bot.cli_lines:parse", "Read messages as JSON lines and write what each means as JSON lines."
    )
    parse.add_argument("--roster", type=Path, metavar="ROSTER.toml", required=True, help="the roster to read them with")
    parse.add_argument(
        "--explain", action="store_true", help="add the words that made each field, and the readings that came next"
    )
    _verb(
        verbs, "dates", "bot.cli_lines:dates", "Read date expressions as JSON lines and write the dates as JSON lines."
    )


def _add_roster(verbs: Verbs) -> None:
    roster = verbs.add_parser(
        "roster", help="Bring in or write out the roster.", description="Bring in or write out the roster."
    )
    kinds = roster.add_subparsers(title="verbs", metavar="VERB", required=True)
    bring = _verb(kinds, "import", "bot.cli_roster:bring_in", "Add the places and animals of a roster file (TOML).")
    bring.add_argument("file", type=Path, metavar="FILE.toml", help="the roster file")
    _add_collection(bring)
    write = _verb(kinds, "export", "bot.cli_roster:write_out", "Write the roster as it stands now, as TOML.")
    write.add_argument(
        "file", type=Path, nargs="?", metavar="FILE", help="where to write it; without it, to the screen"
    )
    _add_collection(write)


def _add_keeping(verbs: Verbs) -> None:
    backup = _verb(
        verbs,
        "backup",
        "bot.cli_backup:backup",
        "Make a backup of records and photos in one file, while the bot goes on, and check it.",
    )
    backup.add_argument("file", type=Path, metavar="FILE", help="the file to write; its name may end in .zip")
    backup.add_argument("--replace", action="store_true", help="in place of a file of that name")
    _add_data(backup)
    restore = _verb(
        verbs,
        "restore",
        "bot.cli_backup:put_back",
        "Put a backup back where nothing is, or in place of what is there.",
    )
    restore.add_argument("file", type=Path, metavar="FILE", help="the backup, or one of the daily copies")
    restore.add_argument(
        "--replace", action="store_true", help="in place of the records there are, which are put aside first"
    )
    _add_data(restore)
    move = _verb(
        verbs, "move-database", "bot.cli_database:move_database", "Copy all records into another, empty database."
    )
    for name, text in (("source", "from"), ("target", "to")):
        move.add_argument(
            name,
            metavar=text.upper(),
            help=f"where {text}: a data folder, the address of a database, or a file that holds the address",
        )
    move.add_argument("--data", type=Path, metavar="DIR", help="the data folder that goes with an address, for photos")


def _add_export(verbs: Verbs) -> None:
    write = _verb(
        verbs, "export", "bot.cli_export:export", "Write the records out: as tables, as one JSON file, as a calendar."
    )
    write.add_argument(
        "--csv", type=Path, metavar="DIR", help="tables for spreadsheets, one file each, into this folder"
    )
    write.add_argument("--json", type=Path, metavar="FILE", help="all of the collection, for `rackside import`")
    write.add_argument("--calendar", type=Path, metavar="FILE.ics", help="what is planned and due, for a calendar")
    write.add_argument(
        "--days",
        type=int,
        default=30,
        metavar="N",
        help="how far ahead what is due goes into the calendar; 30 if left out",
    )
    write.add_argument("--with-addresses", action="store_true", help="put the members' addresses into the tables too")
    write.add_argument("--replace", action="store_true", help="write over files that are there already")
    _add_collection(write)


def _add_import(verbs: Verbs) -> None:
    bring = _verb(
        verbs,
        "import",
        "bot.cli_import:bring_in",
        "Bring records in: JSON of `rackside export`, a table (CSV), lines with a day each, or a chat export (JSON or text).",
    )
    bring.add_argument("file", type=Path, metavar="FILE", help="what to bring in; doing it twice adds nothing")
    bring.add_argument("--dry-run", action="store_true", help="say what would come of it, and write nothing")
    bring.add_argument(
        "--as", choices=("json", "csv", "lines", "chat"), dest="form", help="its form; found out if left out"
    )
    bring.add_argument(
        "--from",
        metavar="NAME",
        action="append",
        dest="senders",
        help="whose messages of a chat count; may be given again",
    )
    bring.add_argument(
        "--mapping", type=Path, metavar="FILE.toml", help="what the columns of a table hold; asked if left out"
    )
    order = bring.add_mutually_exclusive_group()
    order.add_argument("--day-first", action="store_true", help="03/02/2026 is the 3rd of February")
    order.add_argument("--month-first", action="store_true", help="03/02/2026 is the 2nd of March")
    bring.add_argument("--zone", metavar="ZONE", help="time zone of its clock times; the collection's if left out")
    bring.add_argument("--again", action="store_true", help="read anew what became a note the last time")
    bring.add_argument("--with-members", action="store_true", help="of JSON: let its members write and ask here")
    bring.add_argument("--report", type=Path, metavar="FILE", help="write the whole report to a file")
    _add_collection(bring)
