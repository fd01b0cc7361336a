"""Texts of 500 characters made to be slow, and the time that reading them takes, measured in a process of its own.

`python -m tests.language.long_texts` prints as JSON how many times a yardstick's processor time each shape takes: in a
process of its own no coverage tracer slows the reading down, and beside a yardstick of the same run no slow or busy
machine does.
"""

from __future__ import annotations

import ast
import inspect
import json
import random
import signal
import sys
import textwrap
import time as clock
from itertools import cycle, islice
from typing import TYPE_CHECKING

from tests.language.house import meaning

if TYPE_CHECKING:
    from collections.abc import Callable

LENGTH = 500
ROUNDS = 3
GIVE_UP = 60.0  # seconds after which a text is taken to hang the reader
PRINTING = ast.parse(inspect.getsource(textwrap))
"""The yardstick: Python code of the standard library, which `ast.unparse`, itself written in Python, prints again."""

VOCABULARY = """
fed misted moulted moved sold counted found gave ate refused took left cleaned watered paired weighed died laid hatched
B D A group tub 2 pot 1 sling mabel rilla rulla clove the stilts tower jar everyone all but slings shelf 1 everything
three 3 2-3 a couple about 40 at least 12 ten half dozen each 27,8 24.5C 61% 3cm 4 inches 12g -3 1000000000
crickets roach locust pre-killed live frozen leftovers water dish substrate sac eggs skin mould mites heads dead
last night yesterday tuesday on the 14th march 31 february tomorrow every 10 days at 9pm ago in 20 minutes next
and , . ; : ? ! - to from into no not didn't forgot if should remind me undo scrap that means is when did how many who
hiding webbing out they them it same again um er sorry i mean wait rename add close forget tag
"""
WORDS = VOCABULARY.split()


def cut(*words: str, length: int = 500) -> str:
    """Words over and over, up to a length in characters."""
    return " ".join(islice(cycle(words), length))[:length]


LONG = {
    "one name": cut("B"), "one verb": cut("fed"), "fed B": cut("fed", "B"), "and": cut("and"), "names and": cut("B", "and"),
    "commas": "," * 500, "names, commas": cut("B,"), "digits": "1" * 500, "numbers": cut("3"), "number words": cut("two"),
    "hundreds": cut("two", "hundred", "and"), "ranges": cut("2", "to"), "tub ranges": cut("tubs", "1-4,"), "dashes": "-" * 500,
    "numbers dashed": cut("1-2"), "all but": cut("all", "but"), "all but B": cut("all", "but", "B,"), "not": cut("not"),
    "no": cut("no,"), "questions": cut("when", "did", "B", "eat?"), "plans": cut("remind", "me", "to", "feed", "B", "tomorrow."),
    "dates": cut("last", "tuesday"), "months": cut("march"), "clocks": cut("at", "9:30"), "days": cut("every", "other", "day"),
    "prey": cut("crickets"), "prey each": cut("3", "crickets", "each,"), "typos": cut("mabbel", "cloev"), "unknown": cut("xyzzyq"),
    "near": cut("rulla"), "repairs": cut("no", "wait"), "sorry": cut("sorry", "i", "mean", "D"), "um": cut("um", "er", "like"),
    "moves": cut("moved", "B", "to"), "of the": cut("of", "the"), "the": cut("the"), "signs": cut("hiding,", "webbing"),
    "is": cut("is"), "means": cut("means"), "add": cut("add", "in", "on"), "undo": cut("undo"), "stops": "." * 500, "lines": cut("fed B\n"),
    "newlines": "\n" * 500, "quotes": "'\"" * 250, "spaces": " " * 499 + "B", "one word": "a" * 500, "emoji": "🕷" * 500, "accents": "é" * 500,
    "please": cut("please"), "please no": cut("please", "can", "you"), "undo that": cut("no", "please", length=490) + " that", "that is": cut("that", "is"),
    "sizes": cut("tub 4 is 30x20x15"), "x": cut("30x"), "decimals": cut("24.5C"), "percents": cut("61%"), "if": cut("if", "B", "eats"),
    "mixed": cut(*WORDS), "backwards": cut(*reversed(WORDS)), "oh no": "oh no, " * 71, "ahead": cut("tomorrow"), "same": cut("same", "again"),
}  # fmt: skip


def random_texts(number: int) -> dict[str, str]:
    """Texts of 500 characters of random words, the same in every run."""
    dice = random.Random(20260312)  # noqa: S311 - nothing is kept secret here
    return {f"random {n}": " ".join(dice.choices(WORDS, k=200))[:LENGTH] for n in range(number)}


def longest_texts() -> dict[str, str]:
    """The longest messages that are read, 4,000 characters, of some of the shapes."""
    shapes = ("fed B", "names, commas", "number words", "all but B", "mixed", "repairs", "signs", "dates")
    return {f"{shape} x 8": (f"{LONG[shape]} " * 8)[:4000] for shape in shapes}


def _too_long(_signal: int, _frame: object) -> None:
    raise TimeoutError


def least_time(text: str) -> float:
    """The time of the quickest of three readings, after one to warm up, in yardsticks; infinite where it hangs.

    A text past 500 characters is read only once.
    """
    signal.signal(signal.SIGALRM, _too_long)
    # A timer of processor time would make the clock of it tick in steps of 4 ms on some kernels.
    signal.setitimer(signal.ITIMER_REAL, GIVE_UP)
    try:
        if len(text) <= LENGTH:
            meaning(text)
        rounds = ROUNDS if len(text) <= LENGTH else 1
        return min(_time(lambda: meaning(text)) for _ in range(rounds)) / yardstick()
    except TimeoutError:
        return float("inf")
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


def yardstick() -> float:
    """Seconds of processor time of what a reading is compared with: the quickest of twenty, about 2 ms."""
    return min(_time(lambda: ast.unparse(PRINTING)) for _ in range(20))


def _time(work: Callable[[], object]) -> float:
    start = clock.process_time()
    work()
    return clock.process_time() - start


def main() -> None:
    """Time every text and print the yardsticks that it takes, by shape."""
    texts = LONG | random_texts(20) | longest_texts()
    json.dump({shape: least_time(text) for shape, text in texts.items()}, sys.stdout)


if __name__ == "__main__":
    main()
