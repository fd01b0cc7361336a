"""`rackside version`."""

from __future__ import annotations

from argparse import Namespace
from importlib.metadata import version as installed_version


def version(_options: Namespace) -> int:
    """Print the version of the installed distribution."""
    print(f"rackside {installed_version('rackside')}")
    return 0
