"""Settings of the message services: what is left out, what is wrong, and that no fault tells a secret."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.secret import Secret
from bot.service_settings import (
    API,
    TELEGRAM_API,
    TOKEN,
    WEBHOOK_LISTEN,
    WEBHOOK_SECRET,
    WEBHOOK_URL,
    TelegramSettings,
    Webhook,
    telegram_settings,
)
from bot.settings import SettingsFault

GOOD = "7123456789:AAF-kept_to_ourselves_0123456789abc"
HOOK = {TOKEN: GOOD, WEBHOOK_URL: "https://bot.example.org/hook", WEBHOOK_SECRET: "sesame_1-A"}


def test_without_a_token_telegram_is_not_set_up() -> None:
    """Whatever else is set."""
    assert telegram_settings({}) is None
    assert telegram_settings({API: "http://127.0.0.1:1", WEBHOOK_URL: "https://bot.example.org"}) is None


def test_a_token_is_enough(tmp_path: Path) -> None:
    """From the variable or its file: the public server, and messages are fetched."""
    assert telegram_settings({TOKEN: GOOD}) == TelegramSettings(Secret(GOOD), TELEGRAM_API, None)
    (tmp_path / "token").write_text(GOOD + "\n")
    assert telegram_settings({f"{TOKEN}_FILE": str(tmp_path / "token")}) == TelegramSettings(Secret(GOOD))


def test_a_server_of_ones_own_is_used() -> None:
    """Its address is taken without the slash at its end."""
    found = telegram_settings({TOKEN: GOOD, API: "http://127.0.0.1:8081/"})
    assert found is not None
    assert found.api == "http://127.0.0.1:8081"


def test_a_webhook_has_its_secret_and_where_to_listen(tmp_path: Path) -> None:
    """The place to listen may be left out; an address of the newer internet stands in brackets."""
    found = telegram_settings(HOOK)
    assert found is not None
    assert found.webhook == Webhook("https://bot.example.org/hook", Secret("sesame_1-A"), "127.0.0.1", 8443)
    (tmp_path / "secret").write_text("other\n")
    more = {f"{WEBHOOK_SECRET}_FILE": str(tmp_path / "secret"), WEBHOOK_LISTEN: "[::1]:9000"}
    found = telegram_settings({**HOOK, **more})
    assert found is not None
    assert found.webhook == Webhook("https://bot.example.org/hook", Secret("other"), "::1", 9000)


@pytest.mark.parametrize(
    "token", ["AAF-kept_to_ourselves", f"{GOOD} x", f"bot{GOOD}", "7123456789", ":abc", GOOD.replace("-", "/")]
)
def test_what_is_no_token_is_said_without_it(token: str) -> None:
    """The sentence names the variable and shows nothing of what stood there."""
    with pytest.raises(SettingsFault) as caught:
        telegram_settings({TOKEN: token})
    assert str(caught.value).startswith(f"{TOKEN}: ")
    assert token not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        (API, "api.example.org"),
        (API, "ftp://example.org"),
        (API, "https://"),
        (API, "http://[::1"),
        (API, "http://example.org:99999"),
        (WEBHOOK_URL, "bot.example.org/hook"),
        (WEBHOOK_LISTEN, "8443"),
        (WEBHOOK_LISTEN, "localhost:"),
        (WEBHOOK_LISTEN, "localhost:http"),
        (WEBHOOK_LISTEN, "localhost:65536"),
    ],
)
def test_a_wrong_address_is_named(name: str, value: str) -> None:
    """The sentence begins with the variable, holds the value, and ends with a full stop."""
    with pytest.raises(SettingsFault) as caught:
        telegram_settings({**HOOK, name: value})
    said = str(caught.value)
    assert said.startswith(f"{name}: ")
    assert value in said
    assert said.endswith(".")


def test_a_token_in_the_wrong_place_is_not_shown() -> None:
    """Whoever puts the token where the server's address belongs does not find it in the sentence, and so in no log."""
    with pytest.raises(SettingsFault) as caught:
        telegram_settings({TOKEN: GOOD, API: GOOD})
    assert str(caught.value).startswith(f"{API}: ")
    assert GOOD not in str(caught.value)


@pytest.mark.parametrize("secret", [None, "two words", "ümlaut", "a" * 257])
def test_a_webhook_without_a_good_secret_is_refused(secret: str | None) -> None:
    """Anyone could speak there as the service; the sentence names the variable and not the value."""
    environment = {name: value for name, value in HOOK.items() if name != WEBHOOK_SECRET}
    if secret is not None:
        environment[WEBHOOK_SECRET] = secret
    with pytest.raises(SettingsFault) as caught:
        telegram_settings(environment)
    assert WEBHOOK_SECRET in str(caught.value)
    assert secret is None or secret not in str(caught.value)
