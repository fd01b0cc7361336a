"""How keepers write set-up: patterns over one line, letter case ignored."""

from __future__ import annotations

import re

PLACE_WORDS = (
    r"(?:tub|box|pot|enclosure|tank|viv|vivarium|terrarium|cube|jar|bin|rack|tower|vial|cup|drawer|tray|faunarium|cage"
    r"|glass|container)"
)
PLEASE = r"^(?:please |can you |could you |ok |okay |hey |right )*"
END = r"[.!]?$"
LENGTH_UNIT = r"cm|mm|in|inch|inches|\""
BY = r"\s*(?:x|by|\*)\s*"


def _line(pattern: str, *, end: str = END) -> re.Pattern[str]:
    """A pattern for a whole line, with or without a "please" before it."""
    return re.compile(PLEASE + pattern + end, re.IGNORECASE | re.DOTALL)


ADD = _line(r"(?:add|create|set up|register)\s+(?:an? |the )?(?:new )?(?P<rest>.+)", end="$")
RENAME = _line(r"rename\s+(?P<name>.+?)\s+(?:to|as|into)\s+(?P<to>.+?)")
CALL = _line(r"(?:call|name)\s+(?P<name>.+?)\s+(?:from now on )?(?:by the name )?[\"'](?P<to>.+?)[\"']")
SIZE = _line(
    r"(?P<name>.+?)\s+(?:is|measures|=|are)\s+(?:about )?"
    rf"(?P<w>[\d.,]+)\s*(?P<u1>{LENGTH_UNIT})?{BY}(?P<d>[\d.,]+)\s*(?P<u2>{LENGTH_UNIT})?"
    rf"(?:{BY}(?P<h>[\d.,]+))?\s*(?P<u>{LENGTH_UNIT})?(?: (?:tall|high|big|in size))?"
)
CLOSE = _line(r"(?:close|retire|decommission|put away)\s+(?:down )?(?P<name>[^,.!?]+?)")
TAG = _line(r"(?:tag|label)\s+(?P<name>.+?)\s+(?:as|with)\s+(?P<tags>.+?)")
ON_SHELF = _line(r"(?P<name>.+?)\s+is (?:now )?on\s+(?P<tags>(?:the )?[\w ]*shelf[\w ]*|rack [\w]+)")
TEACH = _line(
    r"(?:when i (?:say|write) )?[\"']?(?P<phrase>[^\"',?]{1,40}?)[\"']?,?"
    r"\s+(?:means|stands for|is short for|=)\s+(?P<means>[^?]{1,80}?)"
)
ALIAS = _line(
    r"(?P<phrase>(?:the |my )?[^,?]{1,40}?)"
    r"\s+(?:is|are|=|is also|are also|also means|is another name for)\s+(?P<name>[^,?]{1,60}?)"
)
FORGET = _line(r"(?:forget|unlearn)\s+(?:the word |the name |what )?[\"']?(?P<phrase>[^\"'?]{1,40}?)[\"']?(?: means)?")
ZONE = _line(r"(?:my |the |our )?(?:time ?zone) (?:is|=|should be|to) (?P<zone>[A-Za-z_]+(?:/[A-Za-z_+\-0-9]+)+|UTC)")
NOT_AN_ALIAS = re.compile(
    r"(?:that|it|this|what|which|who|where|he|she|they|there|sorry|no|the last one|how|when|why|is|are|did|was|not"
    r"|actually|oops|all|everyone)\b",
    re.IGNORECASE,
)
NOT_FORGOTTEN = re.compile(r"(?:that|it|this|about|to|the last|my last)\b", re.IGNORECASE)
