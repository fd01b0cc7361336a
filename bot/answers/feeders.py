"""How much prey is needed: the feedings that fall due, by what was really fed and on how many observations that rests."""

from __future__ import annotations

from bot.answers.stock import stock_line
from bot.answers.view import View
from bot.answers.wards import Round, local_now, make_round, names_asked, with_heads
from bot.care.demand import LOOKED_BACK, Demand, Needs, Share, needs
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, plural, say_count, say_number

LONGEST = 365
WEEK = 7


def answer(ask: Ask, view: View) -> Reply:
    """Tell the prey needed in the next days (a week, when none are named), how it is made up, and what is not known."""
    made = with_heads(view, make_round(view, ask.subjects))
    asked = names_asked(view, ask.subjects)
    wards = [ward for ward in made.wards if not asked or ward.name in asked]
    need = needs(wards, local_now(view), max(1, min(ask.days or WEEK, LONGEST)), made.away)
    return Reply("\n".join(_said(view, need)))


def totals(view: View, made: Round | None = None, days: int = 1) -> list[str]:
    """One short line for each kind of prey needed in the coming days, today among them: "4 roaches".

    `made` is a round with the heads of those to be fed, where one is at hand.
    """
    made = made or with_heads(view, make_round(view))
    need = needs(made.wards, local_now(view), days, made.away)
    return [_number(demand) for demand in need.demands if demand.total]


def _said(view: View, need: Needs) -> list[str]:
    until = view.day(need.until)
    unknown = f"Nothing to reckon from for {join_names(need.unknown)}: no feeding says what and how much."
    if not need.demands:
        return [unknown if need.unknown else f"No feeding falls due up to {until}, so no prey is needed."]
    lines = [f"By what was fed in the last {LOOKED_BACK.days} days, up to {until} you need about:"]
    for demand in need.demands:
        observed = sum(share.observed for share in demand.shares)
        rests = (
            f"from {say_count((observed, observed), 'feeding')} on record" if observed else "from no feeding on record"
        )
        stock = stock_line(view, demand.prey, demand.total) if demand.prey else []
        lines += [f"{_number(demand)} ({rests})", *(f"- {_share(share)}" for share in demand.shares), *stock]
    return [*lines, unknown] if need.unknown else lines


def _number(demand: Demand) -> str:
    total = (demand.total, demand.total)
    if demand.prey is None:
        return f"{say_number(demand.total)} {plural('piece') if demand.total != 1 else 'piece'} of prey, kind not on record"
    return say_count(total, demand.prey)


def _share(share: Share) -> str:
    feedings = say_count((share.feedings, share.feedings), "feeding")
    by = "by plan" if share.planned else "by the care sheet"
    basis = f"{share.basis}, {share.observed}" if share.observed else share.basis
    return f"{share.ward}: {feedings} {by}, {say_number(share.each_time)} each time ({basis})"
