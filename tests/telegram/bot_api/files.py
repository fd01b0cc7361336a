"""Files that people and the bot have sent, with the sizes in which the service keeps a photo."""

from __future__ import annotations

import hashlib
import io
import secrets
from dataclasses import dataclass, field
from typing import Any

from PIL import Image, UnidentifiedImageError

from tests.telegram.bot_api.refusal import bad_request

LARGEST_DOWNLOAD = 20 * 1024 * 1024
LARGEST_PHOTO = 10 * 1024 * 1024
SIDES = (90, 320, 800, 1280)
"""The longer sides, in pixels, in which a photo is kept, as far as it is not smaller itself."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A file: its `folder` at the service (photos, documents, voice, stickers), bytes, and the object that tells of it."""

    folder: str
    content: bytes
    told: dict[str, Any]
    suffix: str


@dataclass(slots=True)
class Files:
    """All files by id, the paths given out for downloads, and all sizes of a photo by the id of each."""

    kept: dict[str, Kept] = field(default_factory=dict)
    paths: dict[str, Kept] = field(default_factory=dict)
    sizes: dict[str, list[dict[str, Any]]] = field(default_factory=dict)

    def keep(self, folder: str, content: bytes, suffix: str, **told: object) -> dict[str, Any]:
        """Keep a file; gives the object of the API that tells of it. The id is new each time, the unique id hangs on content."""
        if not content:
            raise bad_request("file must be non-empty")
        unique = hashlib.blake2b(content, digest_size=8).hexdigest()
        named = {"file_id": f"{folder[:2].upper()}AC{secrets.token_urlsafe(40)}", "file_unique_id": f"AQAD{unique}"}
        tells = {**named, "file_size": len(content), **told}
        self.kept[named["file_id"]] = Kept(folder, content, tells, suffix)
        return tells

    def photo(self, content: bytes) -> list[dict[str, Any]]:
        """Keep a photo in its sizes; gives the PhotoSize objects, smallest first."""
        if len(content) > LARGEST_PHOTO:
            raise bad_request("file is too big", breaks="file too big")
        try:
            picture = Image.open(io.BytesIO(content)).convert("RGB")
        except (UnidentifiedImageError, OSError) as error:
            raise bad_request("IMAGE_PROCESS_FAILED") from error
        if sum(picture.size) > 10_000 or max(picture.size) > 20 * min(picture.size):
            raise bad_request("PHOTO_INVALID_DIMENSIONS")
        longest = max(picture.size)
        sides = [side for side in SIDES if side < longest] + ([longest] if longest <= SIDES[-1] else [])
        made = [self._size(picture, side) for side in sides]
        self.sizes |= {size["file_id"]: made for size in made}
        return made

    def again(self, file_id: str) -> Kept:
        """The file of an id by which the bot sends it again; refused where there is none."""
        if file_id not in self.kept:
            raise bad_request("wrong file identifier/HTTP URL specified")
        return self.kept[file_id]

    def offered(self, file_id: str) -> dict[str, Any]:
        """A File object with a path from which the file can be downloaded."""
        kept = self.kept.get(file_id)
        if kept is None:
            raise bad_request("invalid file_id")
        if len(kept.content) > LARGEST_DOWNLOAD:
            raise bad_request("file is too big")
        path = f"{kept.folder}/file_{len(self.paths)}{kept.suffix}"
        self.paths[path] = kept
        return {**{key: kept.told[key] for key in ("file_id", "file_unique_id", "file_size")}, "file_path": path}

    def _size(self, picture: Image.Image, side: int) -> dict[str, Any]:
        """One size of a photo, `side` pixels long."""
        scale = side / max(picture.size)
        width, height = (max(1, round(pixels * scale)) for pixels in picture.size)
        out = io.BytesIO()
        picture.resize((width, height)).save(out, "JPEG", quality=85)
        return self.keep("photos", out.getvalue(), ".jpg", width=width, height=height)
