"""What can be said here: "what can you do"."""

from __future__ import annotations

from bot.answers.view import View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask


def answer(_ask: Ask, view: View) -> Reply:
    """Give a short list with examples, about the keeper's own animals where there are any."""
    name = view.places[0].unit.name if view.places else "group B"
    place = next((place.enclosure.name for place in view.places if place.enclosure), "tub 4")
    return Reply("\n".join(f"{head:<8}{example}" for head, example in _lines(name, place)))


def _lines(name: str, place: str) -> list[tuple[str, str]]:
    return [
        ("Tell me", "what you did or saw, in your own words; I keep it with its date:"),
        ("", f"“fed {name} 3 crickets last night, 1 left over”"),
        ("", f"“misted {place}”, “{name} moulted”, “{place} 24.5C 61%”"),
        ("", "“hyg 3 reads 71 in the salt bag at 24C”, “bought 500 crickets”"),
        ("Ask me", f"“when did {name} last eat”, “did I feed {name} this week”"),
        ("", "“who hasn't eaten in two weeks”, “which ones moulted this month”"),
        ("", f"“show me {place} since March”, “what did I do yesterday”"),
        ("", f"“how many in {name}”, “how big is {name}”, “how humid is {place}”"),
        ("", f"“what would {place} be at 26C”, “how long will the crickets last”"),
        ("", f"“how crowded is {place}”, “survival of {name}”, then “why”"),
        ("", f"“when will {name} moult next”, “how fast is {name} growing”"),
        ("Draw", f"“picture of {name}'s head count”, “feeding calendar for {name}”"),
        ("", f"“graph the humidity of {place} since March”"),
        ("Hand on", f"“sheet for {name}”, “sheet for {name} without photos”"),
        ("Plan", f"“feed {name} every 10 days”, “check {name} in 3 days”"),
        ("", f"“what's due”, “when is the next feed for {name}”, “why is {name} due”"),
        ("", "“how many crickets do I need this week”"),
        ("", f"“skip {name}'s feeding”, “remind me about {name} tomorrow”"),
        ("", f"“no misting reminders for {place} until 3 May”"),
        ("", "“away 3 to 10 June”, “all done”"),
        ("Rules", f"“{name} likes 55 to 65 % humidity”, “keep {name} at 24 to 26 C”"),
        ("", f"“mist {place} weekly but lightly”, “give {name} 10 days to settle”"),
        ("", f"“look in on {name} on days 1, 3 and 7”"),
        ("", f"“show the care sheet for {name}”, “back to the care sheet for {name}”"),
        ("Mend", "“undo”, “no, that was yesterday”, “make that 4”"),
        ("Set up", "“add group B, 42 Neoholothele incei, in tub 4 on shelf 2”"),
        ("", f"“rename {name} to …”, “{place} is 30x20x15 cm”, “close {place}”"),
    ]
