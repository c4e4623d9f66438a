"""Where the program listens, as it stands in the settings."""

import re
from typing import NamedTuple
from urllib.parse import urlsplit

LOOPBACK = "127.0.0.1"
_PORTS = range(1, 65536)


class Place(NamedTuple):
    """An address to listen on; port 0 is any free one."""

    host: str
    port: int


def place(value: object) -> object:
    """A Place from "9464" (on the loopback only), "0.0.0.0:9464" or "[::1]:9464"; raises ValueError."""
    if not isinstance(value, str):
        return value
    found = re.fullmatch(r"(?:(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9.-]+):)?(\d{1,5})", value, flags=re.ASCII)
    if not found or int(found[2]) not in _PORTS:
        raise ValueError("not a port, nor an address with a port")
    return Place((found[1] or LOOPBACK).strip("[]"), int(found[2]))


def public_address(value: str) -> str:
    """An address the messaging service can reach; plain HTTP only to the loopback, for trying. Raises ValueError."""
    parts = urlsplit(value)
    if parts.query or parts.fragment or parts.username or not parts.hostname:
        raise ValueError("not a plain address")
    if parts.scheme != "https" and not (parts.scheme == "http" and parts.hostname in (LOOPBACK, "localhost")):
        raise ValueError("not an https address")
    return value.rstrip("/")
