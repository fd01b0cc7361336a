"""How days, numbers, names and entries are put into words. Pure: today and units are given."""

from __future__ import annotations

from bot.wording.days import say_date, say_day, say_distance, say_full_day, say_period
from bot.wording.entries import say_act, say_entry
from bot.wording.numbers import (
    join_names,
    plural,
    say_count,
    say_humidity,
    say_measure,
    say_number,
    say_range,
    say_temperature,
    sentence,
)
from bot.wording.shares import say_share
from bot.wording.terms import done, noun, nouns

__all__ = [
    "done",
    "join_names",
    "noun",
    "nouns",
    "plural",
    "say_act",
    "say_count",
    "say_date",
    "say_day",
    "say_distance",
    "say_entry",
    "say_full_day",
    "say_humidity",
    "say_measure",
    "say_number",
    "say_period",
    "say_range",
    "say_share",
    "say_temperature",
    "sentence",
]
