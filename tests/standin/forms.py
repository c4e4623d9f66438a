"""A call's form as it arrives: strings, and files as bytes that know their name."""

from typing import Any
from urllib.parse import parse_qsl

from aiohttp import web


class Upload(bytes):
    """An uploaded file's content with the name it came under."""

    name: str = ""


async def read_form(request: web.Request) -> dict[str, Any]:
    """The fields of a URL-encoded or multipart body."""
    if not request.content_type.startswith("multipart/"):
        return dict(parse_qsl((await request.read()).decode(), keep_blank_values=True))
    form: dict[str, Any] = {}
    for name, part in (await request.post()).items():
        if isinstance(part, web.FileField):
            form[name] = Upload(part.file.read())
            form[name].name = part.filename
        else:
            form[name] = part
    return form
