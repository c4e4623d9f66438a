"""The database behind core.ports.Store: SQLite or PostgreSQL, through SQLAlchemy Core."""

from core.store.store import SqlStore, open_store

__all__ = ["SqlStore", "open_store"]
