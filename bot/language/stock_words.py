"""Words by which feeders in stock are told of, from common practice among keepers."""

from __future__ import annotations

GETTING = {"got", "have", "picked up", "received", "delivered", "restocked", "collected", "came", "arrived", "added"}
ORDERING = {"ordered", "preordered", "reordered"}
REMAINING = {"left", "remaining", "remain", "still", "stock"}
RUNNING_LOW = ("running low", "low on", "getting low", "nearly out", "almost out", "need more", "are low", "is low")
FOR_STOCK = (
    "for stock",
    "for the stock",
    "into stock",
    "to stock",
    "to the stock",
    "into the stock",
    "as feeders",
    "for feeders",
)
SOME = {"load", "lot", "bunch", "more", "new", "some", "in", "batch", "delivery"}
"""Words of a lot that came and was not counted."""

SURELY_LEFT = ("in stock", "down to", "still have", "still got", "of stock")
KEEPING_COUNT = ("i have", "we have", "have about", "there are", "have got")
THROWING = {
    "threw out",
    "thrown out",
    "threw away",
    "binned",
    "chucked out",
    "chucked",
    "tossed",
    "tossed out",
    "removed",
}
BUYING = {"picked up", "received", "delivered", "restocked", "stocked", "collected", "arrived", "added"}
OPENERS = {"i", "we", "just", "new"}
DEAD = {"dead", "died", "dying", "doa", "lost"}
RUN_OUT = ("out of", "ran out of", "run out of", "all out of", "clean out of", "completely out of")
CONTAINERS = {
    "tub", "tubs", "box", "boxes", "bag", "bags", "pot", "pots", "cup", "cups", "culture", "cultures", "tray", "trays",
    "pack", "packs", "carton", "cartons", "punnet", "punnets", "kilo", "kg", "container", "containers", "starter",
}  # fmt: skip
SIZES = {"small", "medium", "large", "big", "adult", "pinhead", "tiny", "mini", "sub", "live"}
WHOSE = {"he", "she", "they", "him", "her", "them", "his", "their", "it", "left two", "each"}
"""Words that make it a meal of somebody rather than a matter of the store."""

SURELY_STORE = 20
"""A bare "got 20 roaches" or "20 crickets left" is of the store; fewer may be a meal or what was left of it."""

DELIVERY = {"delivery", "deliveries", "order", "orders", "shipping", "post", "courier", "shipment"}
DAYS_IN = {"day": 1, "days": 1, "d": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7}
COMING = {"come", "arrive", "get here", "here", "ship", "deliver", "delivery", "get", "order", "turn", "reach"}

NO_STOCK = {"loose", "leftover", "leftovers", "uneaten", "escaped", "stray", "remains"}
"""Words that make it a matter of somebody's enclosure or of the room."""

AFTER_PREY = {
    "in", "from", "for", "at", "on", "again", "too", "here", "off", "as", "were", "are", "is", "have", "has", "came", "left",
    "to", "dead", "now", "and", "with", "this", "r", "also", "overnight", "today", "arrived", "remaining", "online", "just", "all", "gone", "each", "but", "so", "we", "i", "that", "been", "had", "please", "or",
}  # fmt: skip
"""Words that may follow a prey; before any other it is part of a longer noun ("cricket keeper", "mealworm bran")."""
