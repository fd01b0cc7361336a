"""The `rackside` command: it runs the function that the tree of verbs names, and turns known faults into a sentence.

The function's module is imported only when its verb is used, so that `rackside say` does not pay for what `rackside chat` needs.
"""

from __future__ import annotations

import gc
import os
import sys
from argparse import Namespace
from collections.abc import Callable, Sequence
from importlib import import_module

from bot.cli_tree import build_parser
from bot.heap import settle
from bot.settings import SettingsFault

USAGE_FAULT = 2
INTERRUPTED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command line and give its exit status: 0 done, 1 partly or not understood, 2 it could not start."""
    options = build_parser().parse_args(argv)
    try:
        return _function(options.verb)(options)
    except BrokenPipeError:
        # The reader of our output has gone (`rackside parse | head`); point stdout nowhere so that the exit flush is quiet.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as fault:
        sentence = _sentence(fault)
        if sentence is None:
            raise
        print(f"rackside: {sentence}", file=sys.stderr)
        return USAGE_FAULT


def _function(name: str) -> Callable[[Namespace], int]:
    """The function called "module:function".

    The garbage collector rests while the module is imported, and passes over what that made ever after: it all stays,
    and looking through it again and again is a tenth of what a short command costs.
    """
    module, function = name.split(":")
    if module not in sys.modules:
        gc.disable()
        try:
            import_module(module)
        finally:
            settle()
    found: Callable[[Namespace], int] = getattr(sys.modules[module], function)
    return found


def _sentence(fault: Exception) -> str | None:
    """The sentence a keeper reads for a fault that we know; None for one that is our own mistake.

    Looked up among modules already loaded: a fault whose module was never imported cannot have been raised.
    """
    known: list[type[Exception]] = [SettingsFault]
    for module, name in (
        ("bot.errors", "RacksideError"),
        ("bot.language.roster", "RosterFault"),
        ("bot.labels.label", "LabelFault"),
        ("bot.pictures.style", "PictureFault"),
        ("storage.faults", "StorageFault"),
        ("storage.faults", "NameTaken"),
    ):
        if module in sys.modules:
            known.append(getattr(sys.modules[module], name))
    return str(fault) if isinstance(fault, tuple(known)) else None


if __name__ == "__main__":
    sys.exit(main())
