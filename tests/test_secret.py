"""Secrets show themselves to nobody who does not ask, and stay out of logs."""

from __future__ import annotations

import copy
import json
import logging
import pickle
import sys
import traceback
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.secret import HIDDEN, Redaction, Secret, redacted, secret_of
from bot.service_settings import TelegramSettings
from bot.settings import SettingsFault

TOKEN = "7123456789:AAF-kept_to_ourselves_0123456789abc"  # noqa: S105 - nobody's
NAME = "RACKSIDE_SOME_TOKEN"


def test_a_secret_is_had_by_asking() -> None:
    """`reveal` gives the value; two secrets are equal where their values are, and none equals its plain value."""
    assert Secret(TOKEN).reveal() == TOKEN
    assert Secret(TOKEN) == Secret(TOKEN)
    assert Secret(TOKEN) != Secret("other")
    assert Secret(TOKEN) != TOKEN
    assert len({Secret(TOKEN), Secret(TOKEN), Secret("other")}) == 2


@pytest.mark.parametrize(
    "show",
    [
        repr,
        str,
        "{}".format,
        "{!r:>40}".format,
        lambda secret: f"{secret}",
        lambda secret: "%s %r" % (secret, secret),  # noqa: UP031 - logging formats in this way
        lambda secret: repr(TelegramSettings(secret)),
        lambda secret: repr({"token": [secret]}),
        lambda secret: str(ValueError(secret)),
    ],
)
def test_a_secret_shows_itself_in_no_text(show: object) -> None:
    """Whichever way it is turned into text, alone or within something else, the value is not there."""
    shown = show(Secret(TOKEN))  # type: ignore[operator]
    assert TOKEN not in shown
    assert HIDDEN in shown


def test_a_secret_is_in_no_traceback_with_values() -> None:
    """A traceback that shows what every variable held shows no secret."""
    token = Secret(TOKEN)
    settings = TelegramSettings(token)

    def send(with_settings: TelegramSettings) -> None:
        held = {"token": with_settings.token}
        raise ConnectionError(f"no answer for {held}")

    try:
        send(settings)
    except ConnectionError:
        kind, fault, trace = sys.exc_info()
        assert kind is not None
        assert fault is not None
        shown = "".join(traceback.TracebackException(kind, fault, trace, capture_locals=True).format())
    assert "held = " in shown
    assert HIDDEN in shown
    assert TOKEN not in shown


@pytest.mark.parametrize("keep", [pickle.dumps, copy.copy, copy.deepcopy, json.dumps, memoryview])
def test_a_secret_is_put_into_no_file(keep: object) -> None:
    """It can be neither pickled nor copied nor written as JSON, and what is said of that does not hold it."""
    with pytest.raises(TypeError) as caught:
        keep(Secret(TOKEN))  # type: ignore[operator]
    assert TOKEN not in str(caught.value)
    with pytest.raises(TypeError):
        asdict(TelegramSettings(Secret(TOKEN)))


def logged(message: str, *arguments: object, fault: Exception | None = None, secrets: tuple[Secret, ...] = ()) -> str:
    trace = None if fault is None else (type(fault), fault, fault.__traceback__)
    record = logging.LogRecord("x", logging.ERROR, "", 0, message, arguments, trace)
    return Redaction(logging.Formatter("%(levelname)s %(message)s"), *secrets).format(record)


def test_a_secret_is_taken_out_of_the_words_and_arguments_of_a_log() -> None:
    """In the message, among its arguments, and more than once."""
    secret = Secret("s3same-open")
    said = logged(f"{secret.reveal()} then %s and %s", secret.reveal(), {"url": "/x/s3same-open/y"}, secrets=(secret,))
    assert "s3same-open" not in said
    assert said.count(HIDDEN) == 3
    assert said.startswith("ERROR ")


def test_a_secret_is_taken_out_of_a_logged_traceback() -> None:
    """In the words of the fault, of what caused it, and in the lines of the source that are shown."""
    secret = Secret("s3same-open")

    def fetch() -> None:
        try:
            int(f"http://x/{secret.reveal()}")
        except ValueError as cause:
            raise RuntimeError("s3same-open did not do") from cause

    with pytest.raises(RuntimeError) as caught:
        fetch()
    said = logged("failed", fault=caught.value, secrets=(secret,))
    assert "Traceback" in said
    assert "s3same-open" not in said


@pytest.mark.parametrize("token", [TOKEN, TOKEN.replace(":", "%3A"), TOKEN.replace(":", "%3a")])
def test_what_looks_like_a_bot_token_is_taken_out_unasked(token: str) -> None:
    """Even a token that nobody told of, plain or as it stands in an address."""
    assert redacted(f"GET https://api.example.org/bot{token}/getMe") == f"GET https://api.example.org/bot{HIDDEN}/getMe"


def test_ordinary_words_stay() -> None:
    """Times, versions and ids are no tokens; an empty secret takes nothing out."""
    text = "at 12:05:33 chat 7123456789 took 3 messages: fed-B"
    assert redacted(text, Secret("")) == text


@given(st.text(), st.text(min_size=1), st.text())
def test_no_text_keeps_a_secret(before: str, value: str, after: str) -> None:
    """Whatever stands around it, the value is gone, unless the words put in its place hold it."""
    said = redacted(f"{before}{value}{after}", Secret(value))
    pieces = said.split(HIDDEN)
    assert len(pieces) > 1
    assert all(value not in piece for piece in pieces)


def test_a_secret_comes_from_its_file_first(tmp_path: Path) -> None:
    """The file goes before the variable; white space around it does not count; neither set is None."""
    path = tmp_path / "token"
    path.write_text(f"  {TOKEN}\n")
    found = secret_of(NAME, {f"{NAME}_FILE": str(path), NAME: "other"})
    assert found == Secret(TOKEN)
    assert secret_of(NAME, {NAME: f" {TOKEN} "}) == Secret(TOKEN)
    for environment in ({}, {NAME: " "}, {f"{NAME}_FILE": ""}):
        assert secret_of(NAME, environment) is None


@pytest.mark.parametrize(
    ("content", "words"), [(None, "cannot be read"), (b"", "is empty"), (b" \n", "is empty"), (b"\xff\xfe", "no text")]
)
def test_a_file_that_holds_no_secret_is_said(tmp_path: Path, content: bytes | None, words: str) -> None:
    """A missing, empty or unreadable file gives a sentence with variable and path; the plain variable does not step in."""
    path = tmp_path / "token"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(SettingsFault) as caught:
        secret_of(NAME, {f"{NAME}_FILE": str(path), NAME: TOKEN})
    said = str(caught.value)
    assert said.startswith(f"{NAME}_FILE: {path} ")
    assert words in said
    assert said.endswith(".")
    assert TOKEN not in said


def test_a_home_that_nobody_has_is_said() -> None:
    """A path of somebody who is not there gives a sentence, not a traceback."""
    with pytest.raises(SettingsFault, match=f"{NAME}_FILE"):
        secret_of(NAME, {f"{NAME}_FILE": "~nobody-of-that-name/token"})
