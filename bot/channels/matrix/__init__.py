"""The Matrix channel: one account on one device, in plain and encrypted rooms, over matrix-nio.

`credentials` keeps who we are, `login` gets it, `link` is the connection. `sync` brings events in, `history` fills its gaps,
`events` reads them, `shelf` holds what cannot be read yet, `rooms` says where we go. `sending` takes parcels out, `content` says
what they look like; `attention` shows that a message is seen, `photos` fetches files. `channel` puts them together.
"""

from __future__ import annotations
