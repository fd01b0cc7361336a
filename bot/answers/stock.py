"""How many feeders are in stock, how long they last, and by when to order: "how long will the crickets last"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import ceil

from bot.answers.stock_moves import ORDERED, Store, Told, fed_between, same_feeder, stores, told_of, used
from bot.answers.view import View
from bot.answers.wards import Round, local_now, make_round, with_heads
from bot.care.days import shifted
from bot.care.demand import needs
from bot.care.feeder_stock import Stock, Supply, stock_of, supply
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import plural, say_count, say_number, say_range
from storage.asides import notes_with

DELIVERY = (3, 3)
"""Days an order takes where the keeper told nothing [common practice]."""

AHEAD = 28
"""Days of feedings to come that the demand is reckoned from."""

BACK = timedelta(days=56)
OLD = 21
"""Days after which a count of the box is old: some have died, and some have bred."""

FAR = 56
"""Days from which an order is too far off to be given a date."""

FEW_DAYS = 7
"""Days of feedings on record from which a rate is reckoned."""

_SAID = {"got": "came", "left": "counted", "used": "fed", "died": "dead or thrown out"}


@dataclass(frozen=True, slots=True)
class Rate:
    """Heads a day from low to high, and the words that say what that rests on."""

    low: float
    high: float
    basis: str


def answer(ask: Ask, view: View) -> Reply:
    """Tell of one feeder or, if none is named, of every one in stock."""
    kept = stores(view)
    feeder = ask.fields.get("feeder")
    bred = {one.colony.name.casefold() for one in kept if one.colony is not None}
    names = {subject.casefold() for subject in ask.subjects} & bred
    wanted = [one for one in kept if _is_meant(one, feeder, names)]
    if not wanted and feeder:
        wanted = [Store(str(feeder), None, ())]
    made = with_heads(view, make_round(view)) if wanted else None
    feeders = [one.feeder for one in kept]
    lines = [line for one in wanted for line in said_of(view, one, feeders, made)]
    return Reply("\n".join(lines) or "No feeders are written. Tell me what came or what is left: “got 500 crickets”.")


def said_of(view: View, store: Store, feeders: Sequence[str], made: Round | None) -> list[str]:
    """The stock of one feeder, how long it lasts and by when to order, a line each."""
    told = told_of(view, store, feeders or [store.feeder])
    stock = stock_of([one.move for one in told])
    rate = _rate(view, store, feeders or [store.feeder], made)
    lines = [_stock_line(view, store, stock, told)]
    if not stock.known:
        return [*lines, *([] if rate is None else [f"Needed are {_per_day(rate)}."]), *_ordered(view, store)]
    if rate is None:
        return [
            *lines,
            "No feeding with them is due or on record, so how long they last cannot be reckoned.",
            *_ordered(view, store),
        ]
    delivery, source = _delivery(view, store)
    found = supply((stock.low, stock.high), (rate.low, rate.high), view.today, delivery)
    return [*lines, _lasting(view, found, rate), *_order(view, found, delivery, source), *_ordered(view, store)]


def stock_line(view: View, prey: str, total: int) -> list[str]:
    """Whether a number of one kind of prey is in stock, in one line; none where no stock of it is told."""
    kept = stores(view)
    feeders = [one.feeder for one in kept]
    store = next((one for one in kept if same_feeder(prey, one.feeder, feeders)), None)
    stock = None if store is None else in_stock(view, store, feeders)
    if stock is None or not stock.known:
        return []
    if stock.low >= total:
        word = "enough"
    elif stock.high is not None and stock.high < total:
        word = f"{say_range((total - stock.high, total - stock.low))} short"
    else:
        word = "may not be enough"
    return [f"- in stock by the book: {_number(stock)}, {word}"]


def colony_line(view: View, name: str) -> list[str]:
    """How many of a colony of feeders there are with what was fed to the others taken away; none where nothing was."""
    kept = stores(view)
    feeders = [one.feeder for one in kept]
    store = next((one for one in kept if one.colony is not None and one.colony.name == name), None)
    told = [] if store is None else told_of(view, store, feeders)
    base = next((at for at in range(len(told) - 1, -1, -1) if _sets(told[at])), 0)
    fed = [one for one in told[base:] if one.move.what == "used"]
    if store is None or not fed:
        return []
    return [
        f"{name} as feeders: {_number(in_stock(view, store, feeders))} by the book, {_sum(view, 'used', fed)} since."
    ]


def in_stock(view: View, store: Store, feeders: Sequence[str]) -> Stock:
    """The stock of one feeder as it is now."""
    return stock_of([one.move for one in told_of(view, store, feeders)])


def _is_meant(store: Store, feeder: object, names: set[str]) -> bool:
    if names:
        return store.colony is not None and store.colony.name.casefold() in names
    general = isinstance(feeder, str) and store.feeder.endswith(f" {feeder}")
    return feeder is None or store.feeder == feeder or general


def _stock_line(view: View, store: Store, stock: Stock, told: Sequence[Told]) -> str:
    if not stock.known:
        return f"How many {plural(store.feeder)} there are is not written. “about 150 {plural(store.feeder)} left” tells me."
    number = _number(stock)
    parts = _parts(view, told)
    odd = " More went than there were by the book, so a new count would help." if stock.odd else ""
    age = stock.age_days(view.today) or 0
    old = f" It starts {age} days back: deaths and breeding in the box are in no book." if age > OLD else ""
    name = store.name if store.colony is not None else plural(store.name)
    return f"{name}: {number} by the book ({'; '.join(parts)}).{odd}{old}"


def _number(stock: Stock) -> str:
    if stock.high == 0:
        return "none"
    return say_range((stock.low, stock.high))


def _parts(view: View, told: Sequence[Told]) -> list[str]:
    """What was counted or came first, and the sums of what happened since."""
    base = next((at for at in range(len(told) - 1, -1, -1) if _sets(told[at])), None)
    parts = []
    since = told if base is None else told[base + 1 :]
    if base is not None and told[base].move.heads != (0, 0):
        one = told[base]
        how = "counted" if one.entry is not None else "at set-up"
        parts.append(f"{say_range(one.move.heads or (None, None))} {how} {view.day(one.move.on)}")
    elif base is not None:
        parts.append(
            f"none {view.day(told[base].move.on)}" if told[base].entry is not None else "none on record before"
        )
    for what in ("got", "died", "used"):
        moves = [one for one in since if one.move.what == what]
        if moves:
            parts.append(_sum(view, what, moves))
    return parts


def _sets(one: Told) -> bool:
    heads = one.move.heads
    return one.move.what == "left" and heads is not None and heads[1] is not None


def _sum(view: View, what: str, moves: Sequence[Told]) -> str:
    numbers = [one.move.heads for one in moves]
    known = [number for number in numbers if number is not None]
    low = sum(number[0] or 0 for number in known)
    highs = [number[1] for number in known]
    ended = len(known) == len(moves) and None not in highs
    number = say_range((low, sum(high or 0 for high in highs) if ended else None))
    if what == "used":
        return f"{number} fed in {say_count((len(moves), len(moves)), 'feeding')}"
    last = " " if len(moves) == 1 else ", last "
    return f"{number} {_SAID[what]}{last}{view.day(moves[-1].move.on)}"


def _rate(view: View, store: Store, feeders: Sequence[str], made: Round | None) -> Rate | None:
    """Heads a day by what was fed and by what falls due: the two need not agree, and both are told."""
    found = [one for one in (_as_fed(view, store, feeders), _as_due(view, store, feeders, made)) if one is not None]
    if not found:
        return None
    return Rate(min(one.low for one in found), max(one.high for one in found), "; ".join(one.basis for one in found))


def _as_fed(view: View, store: Store, feeders: Sequence[str]) -> Rate | None:
    """By the feedings of the last eight weeks; from less than a week of them nothing is said."""
    entries = fed_between(view, store, feeders, shifted(view.today, -BACK.days), view.today)
    days = max(((view.today - entry.on).days + 1 for entry in entries if entry.on), default=0)
    numbers = [number for entry in entries if (number := used(view, entry)) is not None]
    if days < FEW_DAYS or not numbers:
        return None
    low = sum(number[0] or 0 for number in numbers) / days
    high = sum(number[1] if number[1] is not None else number[0] or 0 for number in numbers) / days
    return Rate(
        low, high, f"{_a_day(low, high)} as fed in {_weeks(days)}, {say_count((len(numbers), len(numbers)), 'feeding')}"
    )


def _as_due(view: View, store: Store, feeders: Sequence[str], made: Round | None) -> Rate | None:
    need = needs((made or with_heads(view, make_round(view))).wards, local_now(view), AHEAD, made.away if made else ())
    shares = [
        share for demand in need.demands if same_feeder(demand.prey, store.feeder, feeders) for share in demand.shares
    ]
    total = sum(share.total for share in shares)
    if not total:
        return None
    return Rate(
        total / AHEAD,
        total / AHEAD,
        f"{_a_day(total / AHEAD, total / AHEAD)} by what falls due in the next {_weeks(AHEAD)}",
    )


def _weeks(days: int) -> str:
    return f"{days} days" if days % 7 or days < 14 else f"{days // 7} weeks"


def _a_day(low: float, high: float) -> str:
    span = [round(low, 1), round(high, 1)]
    return say_range(span) if span[0] else f"up to {say_number(max(span[1], 0.1))}"


def _per_day(rate: Rate) -> str:
    return f"{_a_day(rate.low, rate.high)} a day ({rate.basis})"


def _lasting(view: View, found: Supply, rate: Rate) -> str:
    least, most = found.days
    first, last = found.short
    if least is None or first is None:
        return f"They last without end at {_per_day(rate)}."
    if least > FAR:
        return f"They last over {least // 7} weeks, at {_per_day(rate)}."
    if most is None or last is None:
        return f"They last {least} days or more, at {_per_day(rate)}."
    days = say_range((least, most)) + (" day" if most == 1 else " days") if most else "not even today"
    until = view.bare_day(first) if first == last else f"{view.bare_day(first)} to {view.bare_day(last)}"
    return f"They last {days}, the first day short being {until}, at {_per_day(rate)}."


def _delivery(view: View, store: Store) -> tuple[tuple[int, int], str]:
    """How long an order takes, and where that comes from: the keeper's words, else what is assumed."""
    told = [
        entry
        for entry in notes_with(view.session, view.collection_id, ("delivery_days",))
        if entry.fields.get("feeder") in {None, store.feeder} or store.feeder.endswith(f" {entry.fields.get('feeder')}")
    ]
    for entry in reversed(told):
        low, high = entry.fields["delivery_days"]
        span = ceil(low or 0), ceil(high if high is not None else low or 0)
        return span, f"your own words, {view.bare_day(entry.on or view.today)}"
    return DELIVERY, f"assumed, common practice; “{plural(store.feeder)} take 5 days to come” tells me yours"


def _order(view: View, found: Supply, delivery: tuple[int, int], source: str) -> list[str]:
    if found.order_by is None:
        return []
    if found.order_by > shifted(view.today, FAR):
        return [f"No order is needed in the next {_weeks(FAR)}."]
    takes = f"an order takes {say_count(delivery, 'day')} ({source})"
    if found.late or found.order_by == view.today:
        return [f"Order today: {takes}."]
    return [f"Order by {view.day(found.order_by)}: {takes}."]


def _ordered(view: View, store: Store) -> list[str]:
    """An order that has not been told as come."""
    last = next((entry for entry in reversed(store.notes) if entry.fields.get("stock") in {ORDERED, "added"}), None)
    if last is None or last.fields.get("stock") != ORDERED or last.on is None:
        return []
    pieces = last.fields.get("pieces")
    number = "Some" if pieces is None else say_range(pieces).capitalize()
    return [f"{number} ordered {view.day(last.on)}, not told as come."]
