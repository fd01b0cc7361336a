"""What a homeserver of the tests is told: loopback only, no federation, cheap passwords, and no limits in the way.

Synapse reads YAML, of which JSON is a part, so the files are written as JSON.
"""

from __future__ import annotations

import base64
import json
import secrets
from pathlib import Path

NAME = "shed.test"
"""What stands behind the colon of every user and room; `.test` is kept free for tests (RFC 2606)."""

PLENTY = {"per_second": 10000, "burst_count": 10000}


def write_config(folder: Path, port: int, secret: str) -> Path:
    """Write all files that Synapse needs to start with its data in `folder`; gives the main one's path.

    `secret` is what lets `Homeserver.user` register people.
    """
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "log.yaml").write_text(json.dumps(_logging(folder)), encoding="utf-8")
    key = folder / "signing.key"
    if not key.exists():
        seed = base64.b64encode(secrets.token_bytes(32)).decode().rstrip("=")
        key.write_text(f"ed25519 a_test {seed}\n", encoding="utf-8")
    main = folder / "homeserver.yaml"
    main.write_text(json.dumps(_settings(folder, port, secret), indent=1), encoding="utf-8")
    return main


def _settings(folder: Path, port: int, secret: str) -> dict[str, object]:
    return {
        "server_name": NAME,
        "public_baseurl": f"http://127.0.0.1:{port}/",
        "pid_file": str(folder / "homeserver.pid"),
        "listeners": [
            {
                "port": port,
                "bind_addresses": ["127.0.0.1"],
                "type": "http",
                "tls": False,
                "resources": [{"names": ["client"]}],
            }
        ],
        "database": {"name": "sqlite3", "args": {"database": str(folder / "homeserver.db")}},
        "log_config": str(folder / "log.yaml"),
        "media_store_path": str(folder / "media"),
        "signing_key_path": str(folder / "signing.key"),
        "registration_shared_secret": secret,
        "macaroon_secret_key": secret,
        "form_secret": secret,
        "report_stats": False,
        "trusted_key_servers": [],
        "federation_domain_whitelist": [],
        "presence": {"enabled": False},
        "bcrypt_rounds": 4,
        # An answer kept for two minutes would hide what came in since from a client that asks again after a restart.
        "caches": {"sync_response_cache_duration": 0},
        # People who come back after a long while hear all in one answer; clients that ask for less get less.
        "filter_timeline_limit": 1000,
        **_limits(),
    }


def _limits() -> dict[str, object]:
    """Every limit so high that a test meets it only where it asks for it."""
    single = ["message", "registration", "admin_redaction", "joins_per_room", "key_requests", "media_create"]
    single += ["room_creation", "user_directory", "profile", "reports", "3pid_validation", "delayed_event_mgmt"]
    parted = {
        "login": ["address", "account", "failed_attempts"],
        "joins": ["local", "remote"],
        "invites": ["per_room", "per_user", "per_issuer"],
        "presence": ["per_user"],
    }
    return {
        **{f"rc_{name}": PLENTY for name in single},
        **{f"rc_{name}": dict.fromkeys(parts, PLENTY) for name, parts in parted.items()},
    }


def _logging(folder: Path) -> dict[str, object]:
    """Warnings, and a line for every request once it is answered, into homeserver.log."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"plain": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
        "handlers": {
            "file": {
                "class": "logging.FileHandler",
                "filename": str(folder / "homeserver.log"),
                "formatter": "plain",
                "encoding": "utf-8",
            }
        },
        "loggers": {"synapse.access": {"level": "INFO"}},
        "root": {"level": "WARNING", "handlers": ["file"]},
    }
