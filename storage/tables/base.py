"""What all tables share."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any, ClassVar

from sqlalchemy import Date, MetaData, Time
from sqlalchemy.orm import DeclarativeBase

from storage.columns import FaithfulJson, FaithfulText, UtcDateTime

_NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """What all models share: names of constraints, and which Python type is which column type."""

    metadata = MetaData(naming_convention=_NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: FaithfulText(),
        dict[str, Any]: FaithfulJson(),
        list[Any]: FaithfulJson(),
        datetime: UtcDateTime(),
        date: Date(),
        time: Time(),
    }
