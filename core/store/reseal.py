"""Seals every text of a clinic with the newest key, the last step of a change of keys."""

from typing import cast

from sqlalchemy import Column, Connection, Table, Text, and_, bindparam, select, type_coerce, update

from core.store.sealed import Seal, Sealed, SealedFacts
from core.store.tables import keyring, metadata


def reseal(connection: Connection, seal: Seal, clinic_id: str) -> int:
    """Renew each sealed text inside the caller's transaction; says how many. Raises StoreError for an unknown key."""
    return sum(
        _renew(connection, seal, clinic_id, table, column)
        for table in metadata.sorted_tables
        for column in table.c
        if isinstance(column.type, Sealed | SealedFacts) or column is keyring.c.proof
    )


def _renew(connection: Connection, seal: Seal, clinic_id: str, table: Table, column: "Column[object]") -> int:
    raw = type_coerce(column, Text)  # past the type that would open it
    keys = list(table.primary_key)
    rows = connection.execute(select(raw, *keys).where(table.c.clinic_id == clinic_id, raw != "")).all()
    if not rows:
        return 0
    this_row = and_(*(key == bindparam(f"key_{key.name}") for key in keys))
    change = update(table).where(this_row).values({column.name: bindparam("token", type_=Text())})
    for token, *found in rows:
        named = {f"key_{key.name}": value for key, value in zip(keys, found, strict=True)}
        connection.execute(change, {"token": seal.renew(cast("str", token)), **named})
    return len(rows)
