"""Tasks let go by name: "skip B's feeding" counts the next one from the day of the one that is skipped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date

from bot.answers.view import View
from bot.answers.wards import names_asked
from bot.care.rules import SHEET_TASKS
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, Written, add, subjects
from bot.language.meaning import Plan
from bot.reminders.agenda import agenda
from bot.reminders.model import Item, Source
from bot.wording import join_names, noun, say_day
from storage.journal import NewEntry

_KINDS = {"count": "recount"}
"""Tasks that go by another name than the kind of entry that a keeper says."""


def write_skip(
    scene: Scene, plan: Plan, origin: Origin, supersedes: int | None = None, source: Source = agenda
) -> Written:
    """Let go what the plan names: of those tasks the ones that stand, of one kind also the next to come.

    What is let go tomorrow or later counts from that day. The remark says when each is due next.
    """
    chosen = _chosen(scene, plan, source(_view(scene)).items)
    entries = [_entry(scene, plan, item, origin) for item in chosen] or _by_kind(scene, plan, origin)
    if not entries:
        return Written(remarks=(f"Nothing of {join_names(plan.subjects)} is due, so nothing was skipped.",))
    ids = add(scene, entries, origin, [supersedes, *[None] * (len(entries) - 1)])
    return Written(tuple(ids), tuple(_next_times(scene, chosen, source(_view(scene)).items)))


def _by_kind(scene: Scene, plan: Plan, origin: Origin) -> list[NewEntry]:
    """The skip of a kind of which nothing is reckoned yet: the first one then counts from its day."""
    if plan.of is None:
        return []
    who, words = subjects(scene, plan.subjects), plan.words or origin.words
    on, zone = plan.on or scene.today, scene.collection.zone
    return [NewEntry("skip", "plan", on, None, None, zone, {"of": plan.of}, who, words)]


def _chosen(scene: Scene, plan: Plan, items: Iterable[Item]) -> list[Item]:
    """The tasks that are let go."""
    names = names_asked(_view(scene), plan.subjects)
    kind = None if plan.of is None else _KINDS.get(plan.of, plan.of)
    own = [item for item in items if item.ward in names and kind in {None, item.kind} and item.on is not None]
    day = plan.on or scene.today
    standing = [item for item in own if item.stands or (item.on is not None and scene.today < item.on <= day)]
    if standing or kind is None:
        return standing
    return sorted(own, key=lambda item: item.on or date.max)[:1] if len(plan.subjects) == 1 else own


def _entry(scene: Scene, plan: Plan, item: Item, origin: Origin) -> NewEntry:
    day = max(filter(None, (plan.on, item.on, scene.today)))
    # Of the sheet's tasks there is one each; of others the plan says which.
    of = {"of" if item.plan is None or item.kind in SHEET_TASKS else "task": item.kind}
    fields = of | ({} if item.plan is None else {"plan": item.plan})
    who = subjects(scene, (item.ward,))
    return NewEntry("skip", "plan", day, None, None, scene.collection.zone, fields, who, plan.words or origin.words)


def _next_times(scene: Scene, skipped: Sequence[Item], items: Iterable[Item]) -> list[str]:
    """When each of the skipped is due next."""
    after = {item.key: item.on for item in items}
    days = [(item, after.get(item.key)) for item in skipped]
    return [f"Next {noun(item.kind)} of {item.ward}: {say_day(day, scene.today)}." for item, day in days if day]


def _view(scene: Scene) -> View:
    return View.open(scene.session, scene.collection.id, scene.now.astimezone(UTC))
