"""Write scenes as PDF pages: exact boxes, embedded font, bookmarks, no clock."""

from __future__ import annotations

from base64 import b64decode
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.fonts import addMapping
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from layout.drawing.elements import colours, metrics
from layout.drawing.elements.arcs import beziers
from layout.drawing.elements.hatch import hatch_lines
from layout.drawing.elements.scene import FillPath, Group, HatchPath, StrokePath, Text, resolved
from layout.drawing.fonts.cut import font_bytes
from layout.geometry.path import Arc
from layout.languages import in_language, spoken_language
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.elements.pens import Pen
    from layout.drawing.elements.scene import Item, Scene, Underlay
    from layout.geometry.path import Path

POINTS_PER_MM = 72 / 25.4
REGULAR = "SpileSans"
BOLD = "SpileSans-Bold"


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentInfo:
    """What the file says about itself, in its info dictionary and in XMP."""

    title: str
    revision: str = ""
    subject: str = ""


def pdf_bytes(scenes: Sequence[Scene], info: DocumentInfo) -> bytes:
    """Return a PDF of one page a scene, at full size, for printing without scaling.

    Raises
    ------
    ValueError
        No scene, or a text has a character the font lacks.
    """
    if not scenes:
        raise ValueError("a document needs at least one page")
    register_fonts()
    out = BytesIO()
    canvas = Canvas(
        out,
        pagesize=_size(scenes[0]),
        invariant=1,
        pageCompression=1,
        lang=spoken_language().code,
        initialFontName=REGULAR,
    )
    write_info(canvas, info)
    section = ""
    for number, scene in enumerate(scenes):
        canvas.setPageSize(_size(scene))
        for box in ("cropBox", "trimBox", "bleedBox"):
            getattr(canvas, f"set{box[0].upper()}{box[1:]}")((0, 0, *_size(scene)))
        key = f"page-{number + 1}"
        canvas.bookmarkPage(key)
        if scene.section and scene.section != section:
            # reportlab keeps one title a key, so a heading needs a bookmark of its own.
            canvas.bookmarkPage(f"section-{number + 1}")
            canvas.addOutlineEntry(in_language(scene.section), f"section-{number + 1}", level=0, closed=False)
        section = scene.section
        canvas.addOutlineEntry(in_language(scene.title or f"page {number + 1}"), key, level=1 if section else 0)
        draw_scene(canvas, scene)
        canvas.showPage()
    canvas.showOutline()
    canvas.save()
    return out.getvalue()


def register_fonts() -> None:
    """Make the shipped font known to reportlab as ``SpileSans`` and ``SpileSans-Bold``; have it write plain bytes.

    Its habit of writing streams as printable characters makes files a quarter larger and takes a tenth of the time.
    """
    rl_config.useA85 = 0
    if REGULAR in pdfmetrics.getRegisteredFontNames():
        return
    for name, bold in ((REGULAR, False), (BOLD, True)):
        pdfmetrics.registerFont(TTFont(name, BytesIO(font_bytes(bold=bold))))
    for weight in (0, 1):
        for italic in (0, 1):
            addMapping(REGULAR, weight, italic, BOLD if weight else REGULAR)


def write_info(canvas: Any, info: DocumentInfo) -> None:
    """Put title, revision and print preference into a reportlab canvas, and XMP into its catalogue."""
    revision = in_language(f"revision {info.revision}") if info.revision else ""
    canvas.setTitle(in_language(info.title))
    canvas.setSubject(" ".join(filter(None, (in_language(info.subject), revision))))
    canvas.setAuthor("")
    canvas.setCreator("spile")
    canvas.setProducer("spile")
    canvas.setKeywords(revision)
    canvas.setViewerPreference("PrintScaling", "None")
    packet = PDFStream(
        PDFDictionary({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")}),
        _xmp(info).encode("utf-8"),
        filters=[],
    )
    document = canvas._doc  # noqa: SLF001 (reportlab has no public way to add XMP)
    document.Catalog.Metadata = document.Reference(packet, "SpileXmp")


def _xmp(info: DocumentInfo) -> str:
    def alternative(text: str) -> str:
        return f'<rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt>'

    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">\n'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\n'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"'
        ' xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/"'
        ' xmlns:pdf="http://ns.adobe.com/pdf/1.3/">\n'
        f"<dc:title>{alternative(in_language(info.title))}</dc:title>\n"
        f"<dc:description>{alternative(in_language(info.subject))}</dc:description>\n"
        f"<xmpMM:VersionID>{escape(info.revision)}</xmpMM:VersionID>\n"
        "<xmp:CreatorTool>spile</xmp:CreatorTool>\n<pdf:Producer>spile</pdf:Producer>\n"
        "</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n"
        '<?xpacket end="r"?>'
    )


def draw_scene(canvas: Any, scene: Scene) -> None:
    """Draw a scene on a reportlab canvas with its lower left corner at the canvas's origin."""
    canvas.saveState()
    across, up = scene.stretch
    canvas.scale(POINTS_PER_MM * across, POINTS_PER_MM * up)
    canvas.setLineJoin(1)
    if scene.underlay is not None:
        _lay(canvas, scene.underlay)
    _draw(canvas, resolved(scene))
    canvas.restoreState()


def _lay(canvas: Any, underlay: Underlay) -> None:
    """Put a picture under what follows; its address holds it (``data:``)."""
    raw = b64decode(underlay.href.partition(",")[2])
    a, b, c, d, e, f = underlay.matrix
    wide, tall = underlay.size
    canvas.saveState()
    if underlay.room is not None:
        room = canvas.beginPath()
        room.rect(underlay.room.x0, underlay.room.y0, underlay.room.width, underlay.room.height)
        canvas.clipPath(room, stroke=0, fill=0)
    canvas.transform(a, b, -c, -d, e + c * tall, f + d * tall)  # pixels count down, the canvas up
    canvas.drawImage(ImageReader(BytesIO(raw)), 0, 0, wide, tall)
    canvas.restoreState()


def _draw(canvas: Any, items: tuple[Item, ...]) -> None:
    for item in items:
        match item:
            case Group():
                _draw(canvas, item.items)
            case StrokePath():
                _use(canvas, item.pen)
                canvas.drawPath(_path(canvas, (item.path,)), stroke=1, fill=0)
            case FillPath():
                canvas.setFillColor(_colour(item.colour))
                shape = _path(canvas, (item.path, *item.holes))
                canvas.drawPath(shape, stroke=0, fill=1, fillMode=0)
            case HatchPath():
                lines = hatch_lines(item)
                if lines:
                    _use(canvas, item.pen)
                    canvas.drawPath(_path(canvas, tuple(lines)), stroke=1, fill=0)
            case Text():
                _write(canvas, item)


def _write(canvas: Any, text: Text) -> None:
    wide = metrics.width_mm(text.content, text.height_mm, bold=text.bold)
    canvas.saveState()
    canvas.translate(*text.at)
    if text.turn_deg:
        canvas.rotate(text.turn_deg)
    left = {"left": 0.0, "centre": -wide / 2, "right": -wide}[text.align]
    base = metrics.base_offset_mm(text)
    if text.halo:
        pad, h = 0.25 * text.height_mm, text.height_mm
        canvas.setFillColor(_colour(colours.WHITE))
        canvas.rect(left - pad, base - pad, wide + 2 * pad, h + 2 * pad, stroke=0, fill=1)
    canvas.setFillColor(_colour(text.colour))
    canvas.setFont(BOLD if text.bold else REGULAR, metrics.font_size_mm(text.height_mm))
    canvas.drawString(left, base, text.content)
    canvas.restoreState()


def _path(canvas: Any, paths: tuple[Path, ...]) -> Any:
    out = canvas.beginPath()
    for path in paths:
        out.moveTo(*path.segments[0].start)
        for segment in path.segments:
            if isinstance(segment, Arc):
                for first, second, end in beziers(segment):
                    out.curveTo(*first, *second, *end)
            else:
                out.lineTo(*segment.end)
        if path.closed:
            out.close()
    return out


def _use(canvas: Any, pen: Pen) -> None:
    canvas.setStrokeColor(_colour(pen.colour))
    canvas.setLineWidth(pen.width_mm)
    canvas.setDash(list(pen.dash_mm), 0)


@lru_cache(maxsize=64)  # a drawing has a dozen colours
def _colour(code: str) -> Any:
    return HexColor(code)


def _size(scene: Scene) -> tuple[float, float]:
    across, up = scene.stretch
    return (scene.width_mm * across * POINTS_PER_MM, scene.height_mm * up * POINTS_PER_MM)
