"""Units as people write them, and what they are in millimetres and grams."""

from __future__ import annotations

from bot.language.tokens import Token, text_at

UNITS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "mm", "mils": "mm",
    "cm": "cm", "cms": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "inch": "in", "inches": "in", "in": "in", '"': "in", "ins": "in", "inchs": "in", "incher": "in",
    "g": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "gr": "g", "gm": "g", "gms": "g", "grm": "g",
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "mg": "mg", "oz": "oz", "ounce": "oz", "ounces": "oz", "ft": "ft", "feet": "ft", "foot": "ft",
    "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "c": "C", "celsius": "C", "centigrade": "C", "celcius": "C", "f": "F", "fahrenheit": "F", "farenheit": "F", "fahrenheight": "F",
    "degrees": "deg", "degree": "deg", "deg": "deg", "degs": "deg", "°": "deg", "º": "deg",
    "%": "%", "percent": "%", "pct": "%", "percentage": "%", "rh": "%",
}  # fmt: skip
"""Written unit -> mm, cm, in, ft, g, kg, mg, oz, lb, C, F, deg (degrees, scale not said) or % (of humidity)."""

MM_IN = {"mm": 1.0, "cm": 10.0, "in": 25.4, "ft": 304.8}
G_IN = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": 28.349523125, "lb": 453.59237}


def unit_at(tokens: tuple[Token, ...], at: int) -> tuple[str | None, int]:
    """The unit written at a token, and the token after it; None and the same token where there is no unit."""
    unit = UNITS.get(text_at(tokens, at))
    if unit is None or not _is_meant(tokens, at):
        return None, at
    return _degrees(tokens, at + 1) if unit == "deg" else (unit, at + 1)


def _degrees(tokens: tuple[Token, ...], after: int) -> tuple[str, int]:
    """The scale said after "degrees" (C or F), else deg."""
    scale = UNITS.get(text_at(tokens, after))
    return (scale, after + 1) if scale in {"C", "F"} else ("deg", after)


def _is_meant(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether "in" is inches here, and a lone small "c" or "f" a temperature: it is when it touches the number."""
    token = tokens[at]
    if token.text == "in" and text_at(tokens, at + 1) in {"legspan", "leg", "body", "across", "long", "dls", "span"}:
        return True  # "about 3 in legspan"
    if token.text == "in":
        return _is_inches(tokens, at)
    warm = at > 0 and 10 <= (tokens[at - 1].value or 0) <= 110
    return token.glued or token.text not in {"c", "f"} or not token.raw.islower() or warm


def _is_inches(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether "in" touches the number, or stands after a decimal or a measure's name where no place can follow it."""
    if tokens[at].glued:
        return True
    before = tokens[at - 1]
    measured = {token.text for token in tokens[max(0, at - 5) : at]} & {
        "legspan",
        "span",
        "length",
        "body",
        "dls",
        "bl",
        "long",
    }
    closes = at + 1 >= len(tokens) or tokens[at + 1].kind == "mark"
    return before.kind == "number" and ("." in before.raw or bool(measured)) and closes
