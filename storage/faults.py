"""What can go wrong with what lasts; each error carries the sentence a keeper reads.

StorageFault        the database cannot be used (folder, file, schema, disk)
NameTaken           a roster name is already in use
"""

from __future__ import annotations


class StorageFault(Exception):
    """The database cannot be opened, read or written; `str(fault)` is one sentence for the keeper."""


class NameTaken(ValueError):
    """A name is already in use on the roster; `str(error)` is one sentence for the keeper."""
