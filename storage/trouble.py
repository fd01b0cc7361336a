"""What a database says when it cannot be used, in a sentence for the keeper. No sentence holds a password."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy.exc import InterfaceError, OperationalError

if TYPE_CHECKING:
    from sqlalchemy.engine import URL
    from sqlalchemy.exc import DBAPIError

NONE_FREE = "The database {where} has no connection to spare; try again in a moment."

_DISK_FULL = "The disk is full: {where} could not be written. Nothing was lost of what was confirmed before."
_READ_ONLY = "The database {where} cannot be written to; change who may write there."
_NO_ANSWER = (
    "The server of the database {where} does not answer; see whether it is running, and whether its address is right."
)
_NOT_LET_IN = "The database {where} does not let us in: see whether the user and the password are right."
_LOST = "The connection to the database {where} was lost; see whether its server is running."
_IN_BETWEEN = "The server of the database {where} is just starting or stopping; try again in a moment."
_IN_USE = "The database {where} is in use by another program; try again in a moment."

_OF_SQLITE = {
    "file is not a database": "{where} is not a Rackside database; choose another data folder, or move that file away.",
    "malformed": "The database {where} is damaged; put a backup in its place.",
    "disk is full": _DISK_FULL,
    "disk I/O error": "The disk failed, or is full: {where} could not be read or written.",
    "readonly": _READ_ONLY,
    "unable to open": "The database {where} cannot be opened; see whether its folder is there and may be written to.",
    "locked": _IN_USE,
}

_BY_CODE = {  # PostgreSQL's manual, appendix A: error codes
    "25006": _READ_ONLY,
    "25P03": _LOST,
    "28000": _NOT_LET_IN,
    "28P01": _NOT_LET_IN,
    "3D000": "There is no database {where}; make it first, or see whether its address is right.",
    "40001": _IN_USE,
    "40P01": _IN_USE,
    "42501": "The database {where} does not let us read and write in it; grant its user all on it and on its schema.",
    "53100": _DISK_FULL,
    "53300": NONE_FREE,
    "55P03": _IN_USE,
    "57P01": _LOST,
    "57P02": _LOST,
    "57P03": _IN_BETWEEN,
}

_OF_POSTGRESQL = {  # of a connection that was never made or is lost there is only the text
    "starting up": _IN_BETWEEN,
    "shutting down": _IN_BETWEEN,
    "accepting connections": _IN_BETWEEN,
    "password": _NOT_LET_IN,
    "pg_hba.conf": "The database {where} lets nobody in from this machine; see the server's pg_hba.conf.",
    "authentication failed": _NOT_LET_IN,
    "role ": _NOT_LET_IN,
    "database ": _BY_CODE["3D000"],
    "too many clients": NONE_FREE,
    "connection slots": NONE_FREE,
    "terminating connection": _LOST,
    "closed": _LOST,
    "lost": _LOST,
    "SYSCALL": _LOST,
    "refused": _NO_ANSWER,
    "No such file": _NO_ANSWER,
    "not known": _NO_ANSWER,
    "resolve": _NO_ANSWER,
    "translate": _NO_ANSWER,
    "timeout": _NO_ANSWER,
    "unreachable": _NO_ANSWER,
    "No route": _NO_ANSWER,
    "connection option": "The address of the database has something in it that its server does not know: {said}.",
}


def sentence(url: URL, error: DBAPIError) -> str | None:
    """The sentence for what a database said; None where it is one of our own statements that is at fault."""
    said = str(error.orig).strip()
    first = said.partition("\n")[0].removesuffix(".")
    found = _found(url, error, said if url.get_backend_name() == "sqlite" else first)  # a server adds hints below
    if found is not None:
        return found.format(where=shown(url), said=first)
    if isinstance(error, OperationalError | InterfaceError):
        return f"The database {shown(url)} cannot be used: {first}."
    return None


def shown(url: URL) -> str:
    """A database in words: the file, or its name and its server, and never who with which password."""
    if url.get_backend_name() == "sqlite":
        return str(url.database or "in memory")
    host = url.host or url.query.get("host") or "this machine"
    port = "" if url.port is None else f":{url.port}"
    return f"{url.database} at {host if isinstance(host, str) else ', '.join(host)}{port}"


def _found(url: URL, error: DBAPIError, said: str) -> str | None:
    if url.get_backend_name() == "sqlite":
        return next((words for mark, words in _OF_SQLITE.items() if mark in said), None)
    code = getattr(error.orig, "sqlstate", None)
    if code is not None:
        return _BY_CODE.get(code)
    return next((words for mark, words in _OF_POSTGRESQL.items() if mark in said), None)
