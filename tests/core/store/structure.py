"""What a database itself says it holds, to compare two."""

import re
import sqlite3

import psycopg


def parts(sql: str) -> list[str]:
    """The name and the parts of a table or index; their order says nothing, nor do quotes and line breaks."""
    head, body, tail = re.fullmatch(r"([^(]*)\((.*)\)(.*)", sql.replace('"', ""), re.DOTALL).groups()  # type: ignore[union-attr]
    inner = sorted(" ".join(part.split()) for part in re.split(r",(?![^(]*\))", body))
    return [head.strip(), *inner, tail.strip()]


def structure(url: str) -> set[tuple[object, ...]]:
    """What the database itself says it holds: on SQLite its DDL, on PostgreSQL its catalogue, names included."""
    if url.startswith("sqlite"):
        with sqlite3.connect(url.removeprefix("sqlite:///")) as connection:
            rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
        connection.close()
        return {(name, *parts(sql)) for name, sql in rows if name != "alembic_version"}
    query = """
        SELECT 'column', table_name, column_name, data_type, is_nullable, coalesce(column_default, '')
            FROM information_schema.columns WHERE table_schema = 'public'
        UNION ALL SELECT 'index', tablename, indexname, indexdef, '', '' FROM pg_indexes WHERE schemaname = 'public'
        UNION ALL SELECT 'constraint', conrelid::regclass::text, conname, pg_get_constraintdef(oid), '', ''
            FROM pg_constraint WHERE connamespace = 'public'::regnamespace
    """
    with psycopg.connect(url) as server:
        return {row for row in server.execute(query).fetchall() if row[1] != "alembic_version"}
