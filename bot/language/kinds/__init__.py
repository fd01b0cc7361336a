"""The kinds of entries and how each is recognised in a clause, in the order they are tried."""

from bot.language.kinds.behaviour import equipment, observation
from bot.language.kinds.feeding import feeding, feeding_after
from bot.language.kinds.housing import amount_alone, cleaning, misting, move, watering
from bot.language.kinds.life import arrival, death, departure, moult, pairing, sac
from bot.language.kinds.measures import count, measurement, reading

RECOGNISERS = (sac, death, arrival, departure, pairing, moult, cleaning, watering, misting, move, reading, measurement, count, amount_alone, feeding, observation, equipment)

__all__ = ["RECOGNISERS", "feeding_after"]
