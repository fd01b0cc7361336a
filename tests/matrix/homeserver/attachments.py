"""Files in rooms: uploaded as they are or encrypted, and fetched again; and a picture to send."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any

from nio import AsyncClient, MemoryDownloadResponse, UploadResponse
from nio.crypto.attachments import decrypt_attachment
from PIL import Image


def picture(colour: str = "saddlebrown", side: int = 64) -> bytes:
    """A JPEG of one colour, `side` pixels wide and high."""
    drawn = io.BytesIO()
    Image.new("RGB", (side, side), colour).save(drawn, "JPEG")
    return drawn.getvalue()


async def upload(client: AsyncClient, data: bytes, mimetype: str, name: str, *, encrypted: bool) -> dict[str, Any]:
    """Put a file on the server; gives the part of a message's content that says where it is and how to read it."""
    said, keys = await client.upload(io.BytesIO(data), mimetype, name, encrypt=encrypted, filesize=len(data))
    assert isinstance(said, UploadResponse), said
    info = {"mimetype": mimetype, "size": len(data)}
    if keys is None:
        return {"url": said.content_uri, "info": info}
    return {"file": {**keys, "url": said.content_uri}, "info": info}


async def fetch(client: AsyncClient, content: Mapping[str, Any]) -> bytes:
    """The file that a message's content points to, decrypted where it is encrypted."""
    keys = content.get("file")
    said = await client.download(keys["url"] if keys else content["url"])
    assert isinstance(said, MemoryDownloadResponse), said
    data: bytes = said.body
    if keys:
        data = decrypt_attachment(data, keys["key"]["k"], keys["hashes"]["sha256"], keys["iv"])
    return data
