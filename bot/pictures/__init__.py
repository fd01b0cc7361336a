"""Pictures for the chat: plain series in, PNG bytes out.

One module for each picture: `head_count`, `feeding_calendar`, `growth`, `climate`, `survival`. Each defines frozen
dataclasses for what it shows, `drawn(told, theme)`, which gives the figure, and `picture(told, theme)`, which gives the
bytes. The caller says the finding (the title) and what it rests on (the basis).

matplotlib is imported inside functions only, so that whoever merely imports these modules does not pay for it.
"""
