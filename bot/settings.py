"""Settings: where the data lies, and what the keeper set in the environment or in settings.toml in the data folder.

A variable in the environment (RACKSIDE_ZONE, RACKSIDE_UNITS, RACKSIDE_COPIES) goes before the file. All may be left out:

    zone = "Europe/Lisbon"     # IANA name; without it, the zone of this machine when the collection is made
    units = "metric"           # or "imperial"
    copies = "/mnt/stick"      # where the daily copies go; without it, the folder copies in the data folder; "none" for none

RACKSIDE_DATABASE_FILE names a file that holds the address of a database on a server (or RACKSIDE_DATABASE holds it): it has a
password in it, so it is no setting of the file. Without it, the records are kept in the data folder.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

if TYPE_CHECKING:
    from bot.secret import Secret

FILE_NAME = "settings.toml"
DATA_VARIABLE = "RACKSIDE_DATA"
DATABASE_VARIABLE = "RACKSIDE_DATABASE"
UNITS = ("metric", "imperial")


class SettingsFault(ValueError):
    """A setting cannot be used; the message is a sentence for the keeper."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What the keeper set. None means: not set, keep what the collection has.

    `zone` is an IANA name that exists; `units` is metric or imperial; `database` the address of the database, None for the
    one in the data folder; `copies` says where the daily copies go.
    """

    zone: str | None = None
    units: str | None = None
    database: Secret | None = None
    copies: str | None = None


def data_folder(asked: Path | None, environment: Mapping[str, str]) -> Path:
    """The folder that holds the data: the one asked for, else RACKSIDE_DATA, else the platform's user data folder."""
    if asked is not None:
        return asked.expanduser()
    if environment.get(DATA_VARIABLE):
        return Path(environment[DATA_VARIABLE]).expanduser()
    from platformdirs import user_data_path  # noqa: PLC0415 - costs 30 ms, and most calls name their folder

    return user_data_path("rackside", appauthor=False)


def load_settings(folder: Path, environment: Mapping[str, str]) -> Settings:
    """Settings of a data folder. Raises SettingsFault with a sentence that names the setting and where it stands."""
    path = folder / FILE_NAME
    table = _read_table(path)
    unknown = sorted(set(table) - {"zone", "units", "copies"})
    if unknown:
        raise SettingsFault(f"{path}: there is no setting called {unknown[0]!r}; known are zone, units and copies.")
    return Settings(
        zone=_zone(*_pick("zone", table, path, environment)),
        units=_units(*_pick("units", table, path, environment)),
        database=_database(environment),
        copies=_copies(*_pick("copies", table, path, environment)),
    )


def _read_table(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except OSError as fault:
        raise SettingsFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except ValueError as fault:
        raise SettingsFault(f"{path} is not good TOML: {fault}.") from fault


def _pick(name: str, table: Mapping[str, Any], path: Path, environment: Mapping[str, str]) -> tuple[object, str]:
    """Value of a setting and the words that say where it stands; the value is None where it is not set."""
    variable = f"RACKSIDE_{name.upper()}"
    if environment.get(variable):
        return environment[variable], variable
    return table.get(name), f"{name} in {path}"


def _zone(value: object, where: str) -> str | None:
    if value is None:
        return None
    if not isinstance(value, str) or not is_zone(value):
        raise SettingsFault(f"{where}: {value!r} is not a time zone that I know; write one like 'Europe/Lisbon'.")
    return value


def _units(value: object, where: str) -> str | None:
    if value is None:
        return None
    if value not in UNITS:
        raise SettingsFault(f"{where}: units are 'metric' or 'imperial', not {value!r}.")
    return str(value)


def _copies(value: object, where: str) -> str | None:
    if value is not None and (not isinstance(value, str) or not value.strip()):
        raise SettingsFault(f"{where}: {value!r} is no folder; write one like '/mnt/stick/rackside', or 'none'.")
    return value


def _database(environment: Mapping[str, str]) -> Secret | None:
    if not environment.get(DATABASE_VARIABLE) and not environment.get(f"{DATABASE_VARIABLE}_FILE"):
        return None
    from bot.secret import secret_of  # noqa: PLC0415 - few have it, and it needs this module

    found = secret_of(DATABASE_VARIABLE, environment)
    if (
        found is not None and "://" not in found.reveal()
    ):  # it is shown to nobody: it may be a password that went astray
        raise SettingsFault(
            f"{DATABASE_VARIABLE}: that is no address; write one like 'postgresql://localhost/rackside'."
        )
    return found


def is_zone(name: str) -> bool:
    """True for the name of a time zone that this machine knows."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
