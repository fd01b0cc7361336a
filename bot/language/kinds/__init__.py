"""The kinds of entries and how each is recognised in a clause, in the order they are tried."""

from bot.language.kinds.behaviour import equipment, observation
from bot.language.kinds.cleaning import cleaning
from bot.language.kinds.counts import count
from bot.language.kinds.deaths import death
from bot.language.kinds.feeding import feeding
from bot.language.kinds.feeding_on import feeding_after
from bot.language.kinds.life import arrival, departure, moult
from bot.language.kinds.measures import measurement
from bot.language.kinds.moving import move
from bot.language.kinds.pairing import pairing
from bot.language.kinds.readings import reading
from bot.language.kinds.sacs import sac
from bot.language.kinds.watering import amount_alone, misting, watering

RECOGNISERS = (
    sac,
    death,
    arrival,
    departure,
    pairing,
    moult,
    cleaning,
    watering,
    misting,
    move,
    reading,
    measurement,
    count,
    amount_alone,
    feeding,
    observation,
    equipment,
)

__all__ = ["RECOGNISERS", "feeding_after"]
