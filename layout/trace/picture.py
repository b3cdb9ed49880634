"""Pictures as they come from a telephone or scanner: read within bounds, as light rather than as stored numbers."""

from __future__ import annotations

import io
import warnings
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np

from layout.light_dataclass import dataclass
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from pathlib import Path

    from layout.trace.arrays import Picture

_MOST_BYTES = 100_000_000
"""No photograph or scan is larger."""
MOST_PIXELS = 130_000_000
"""More is not read at all."""
KEPT_PIXELS = 16_000_000
"""Larger pictures are made smaller to this; it bounds time and memory."""
LEAST_SIDE = 200
"""Pixels; a smaller picture shows nothing that can be measured."""
FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
PDF_DPI = 300
"""What a PDF is drawn at."""
_FOCAL_35, _EXIF = 0xA405, 0x8769
_FULL_FRAME_MM = 43.27
"""Diagonal of the frame that focal lengths are compared on (36 mm x 24 mm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture.

    Attributes
    ----------
    colour
        Blue, green, red, 0 to 255 as stored.
    light
        Brightness in linear light, 0 to 1.
    focal_px
        Focal length by the file's own word; None if it has none.
    dpi
        Dots per inch by the file's own word, across and up; None if it has none.
    """

    name: str
    colour: Picture
    light: Picture
    focal_px: float | None = None
    dpi: tuple[float, float] | None = None

    @property
    def width(self) -> int:
        """Pixels across."""
        return int(self.light.shape[1])

    @property
    def height(self) -> int:
        """Pixels down."""
        return int(self.light.shape[0])


def read_picture(path: Path) -> Photo:
    """Read a photograph or scan; of a PDF the first page.

    Raises
    ------
    TraceError
        When the file is no picture, is too large or too small, or is damaged.
    """
    data = read_bytes(path, _MOST_BYTES)
    if data[:5] == b"%PDF-":
        return _pdf_page(path.name, data)
    focal_35, dpi, size = _header(path.name, data)
    try:
        colour = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    except cv2.error:
        colour = None
    if colour is None:
        raise TraceError(f"'{path.name}' is damaged", "send it again from the telephone, or save it as JPEG")
    focal = focal_35 / _FULL_FRAME_MM * float(np.hypot(*size)) if focal_35 else None
    return photo_of(path.name, colour, focal_px=focal, dpi=dpi)


def photo_of(
    name: str, colour: Picture, *, focal_px: float | None = None, dpi: tuple[float, float] | None = None
) -> Photo:
    """Return a picture from its pixels (blue, green, red, 0 to 255), made smaller if it is very large."""
    share = (KEPT_PIXELS / (colour.shape[0] * colour.shape[1])) ** 0.5
    if share < 1:
        colour = cv2.resize(colour, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
        focal_px = focal_px * share if focal_px else None
        dpi = (dpi[0] * share, dpi[1] * share) if dpi else None
    return Photo(name=name, colour=colour, light=linear(colour), focal_px=focal_px, dpi=dpi)


def linear(colour: Picture) -> Picture:
    """Return brightness in linear light, 0 to 1 (IEC 61966-2-1, weights of ITU-R BT.709)."""
    stored = np.arange(256) / 255
    curve = np.where(stored <= 0.04045, stored / 12.92, ((stored + 0.055) / 1.055) ** 2.4).astype(np.float32)
    weights = (0.0722, 0.7152, 0.2126)
    out = np.zeros(colour.shape[:2], np.float32)
    for channel, weight in enumerate(weights):
        out += np.float32(weight) * cv2.LUT(np.ascontiguousarray(colour[:, :, channel]), curve)
    return out


def read_bytes(path: Path, most: int) -> bytes:
    """Return a file's bytes.

    Raises
    ------
    TraceError
        When it can't be read, is empty or larger than ``most``.
    """
    try:
        size = path.stat().st_size
        if size > most:
            raise TraceError(
                f"'{path}' has {size / 1e6:.0f} MB, more than the {most / 1e6:.0f} MB that are read",
                "save it smaller",
            )
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise TraceError(f"'{path}' can't be read: {reason}", "name the picture's file") from None
    if not data:
        raise TraceError(f"'{path}' is empty", "send it again from the telephone or scanner")
    return data


def _header(name: str, data: bytes) -> tuple[float | None, tuple[float, float] | None, tuple[int, int]]:
    """Return focal length on full frame (mm), dots per inch and size, from the file's head alone."""
    from PIL import Image, UnidentifiedImageError

    known = ", ".join(FORMATS)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=FORMATS) as image:
                size = image.size
                focal = _number(image.getexif().get_ifd(_EXIF).get(_FOCAL_35))
                dpi = image.info.get("dpi")
    except UnidentifiedImageError:
        raise TraceError(f"'{name}' is not a picture that can be read", f"save it as one of {known}") from None
    except Exception as error:
        raise TraceError(f"'{name}' is damaged: {error}", f"save it anew as one of {known}") from None
    if size[0] * size[1] > MOST_PIXELS:
        raise TraceError(
            f"'{name}' has {size[0]} x {size[1]} pixels, more than can be read", "save it with half as many each way"
        )
    if min(size) < LEAST_SIDE:
        raise TraceError(
            f"'{name}' has only {size[0]} x {size[1]} pixels", "send the picture in its original size, not a preview"
        )
    dots = (_number(dpi[0]), _number(dpi[1])) if isinstance(dpi, tuple) and len(dpi) == 2 else (None, None)
    told = (dots[0], dots[1]) if dots[0] and dots[1] and min(dots[0], dots[1]) > 100 else None
    return focal, told, size


def _number(value: Any) -> float | None:
    try:
        number = float(value)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    return number if 0 < number < 1e5 else None


def _pdf_page(name: str, data: bytes) -> Photo:
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
        page = document[0]
        wide, tall = page.get_size()
        scale = PDF_DPI / 72
        if wide * tall * scale**2 > MOST_PIXELS or min(wide, tall) * scale < LEAST_SIDE:
            raise TraceError(f"the first page of '{name}' is {wide / 72:.1f} x {tall / 72:.1f} in", "give one sheet")
        drawn = page.render(scale=scale).to_numpy()
    except pypdfium2.PdfiumError:
        raise TraceError(f"'{name}' is a damaged PDF, or needs a password", "print it to a new PDF") from None
    colour = np.ascontiguousarray(drawn[:, :, :3])
    return photo_of(name, colour, dpi=(float(PDF_DPI), float(PDF_DPI)))
