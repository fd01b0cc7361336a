"""Settings: where they come from, which goes first, and the sentences for wrong ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.settings import Settings, SettingsFault, data_folder, load_settings


def test_nothing_set_is_nothing_set(tmp_path: Path) -> None:
    """Without file and variables every setting is None."""
    assert load_settings(tmp_path, {}) == Settings(zone=None, units=None)


def test_the_file_is_read(tmp_path: Path) -> None:
    """Zone and units come from settings.toml in the data folder."""
    (tmp_path / "settings.toml").write_text('zone = "Europe/Lisbon"\nunits = "imperial"\n')
    assert load_settings(tmp_path, {}) == Settings(zone="Europe/Lisbon", units="imperial")


def test_the_environment_goes_before_the_file(tmp_path: Path) -> None:
    """A variable wins over the file, one setting at a time."""
    (tmp_path / "settings.toml").write_text('zone = "Europe/Lisbon"\nunits = "imperial"\n')
    found = load_settings(tmp_path, {"RACKSIDE_ZONE": "Asia/Tokyo"})
    assert found == Settings(zone="Asia/Tokyo", units="imperial")


@pytest.mark.parametrize(
    ("written", "part"),
    [
        ('zone = "Mars/Olympus"', "Mars/Olympus"),
        ("zone = 3", "3 is not a time zone"),
        ('zone = "../etc/passwd"', "is not a time zone"),
        ('units = "cubits"', "metric"),
        ('colour = "red"', "no setting called 'colour'"),
        ("zone = = ", "not good TOML"),
    ],
)
def test_a_wrong_setting_is_named(tmp_path: Path, written: str, part: str) -> None:
    """Each wrong setting gives a sentence with the file, the value and a full stop."""
    (tmp_path / "settings.toml").write_text(written)
    with pytest.raises(SettingsFault) as caught:
        load_settings(tmp_path, {})
    assert part in str(caught.value)
    assert "settings.toml" in str(caught.value)
    assert str(caught.value).endswith(".")


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    """A settings.toml that is a folder gives a sentence, not a traceback."""
    (tmp_path / "settings.toml").mkdir()
    with pytest.raises(SettingsFault, match="cannot be read"):
        load_settings(tmp_path, {})


def test_a_wrong_variable_is_named() -> None:
    """A wrong zone in the environment names the variable."""
    with pytest.raises(SettingsFault, match="RACKSIDE_ZONE"):
        load_settings(Path("/nonexistent"), {"RACKSIDE_ZONE": "nowhere"})


def test_the_folder_asked_for_goes_first(tmp_path: Path) -> None:
    """--data goes before RACKSIDE_DATA, and that before the platform's folder, which ends in our name."""
    environment = {"RACKSIDE_DATA": "/from/the/environment"}
    assert data_folder(tmp_path, environment) == tmp_path
    assert data_folder(None, environment) == Path("/from/the/environment")
    assert data_folder(None, {}).name == "rackside"
