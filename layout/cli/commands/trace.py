"""``spile trace``: sizes from a photograph with marks, a scan or a drawing."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from layout.cli.asking import Answers, answered
from layout.cli.options import AsJson, OutDir, Quiet
from layout.cli.session import usable_folder, written
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.trace.result import Traced, TraceError, What

Pictures = Annotated[
    list[Path],
    typer.Argument(metavar="PICTURE", help="Photographs of a thing; or one scan, PDF, DXF, SVG.", show_default=False),
]
_Word = Annotated[str, typer.Option("--what", help="What is traced: outline, cutout or no_go.", show_default=False)]
Scan = Annotated[bool, typer.Option("--scan", help="The picture is a flat scan, not a photograph.")]
Above = Annotated[
    str, typer.Option("--above", metavar="MM", help="How far the edge stands above the marks (below: -12).")
]
Tape = Annotated[str, typer.Option("--tape", metavar="A-B=MM", help="Taped, cross to cross of two sheets: 1-3=1184.")]
Across = Annotated[
    str, typer.Option("--across", metavar="MM", help="Known width; of two pixels of a scan: 120,80:1630,82=100.")
]
Up = Annotated[str, typer.Option("--up", metavar="MM", help="Known height, or between two pixels of a scan.")]
Inside = Annotated[str, typer.Option("--inside", metavar="X,Y", help="A pixel inside the shape.")]
_Layer = Annotated[str, typer.Option("--layer", help="Layer of a DXF, id or label in an SVG.")]
Beside = Annotated[
    Path | None, typer.Option("--beside", metavar="FILE", help="Keep the corrected photograph beside this project.")
]
DRAWINGS, _DOCUMENTS = (".dxf", ".svg"), (".pdf",)


def trace(
    pictures: Pictures,
    what: _Word = "",
    above: Above = "",
    tape: Tape = "",
    scan: Scan = False,
    across: Across = "",
    up: Up = "",
    inside: Inside = "",
    layer: _Layer = "",
    beside: Beside = None,
    out: OutDir = Path("out"),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Turn a picture into a path, with its error stated.

    Sheets with marks come from spile printcheck --marks. What is not given is asked for, where there is a terminal.

    Example: spile trace panel.jpg --what outline --above 12 --tape 1-3=1184
    """
    from layout.trace.needs import missing_libraries

    voice = Voice(as_json=as_json, quiet=quiet)
    if lacking := missing_libraries():
        voice.refuse(
            f"this needs {', '.join(lacking)}", remedy="install them with: pip install 'spile[trace]'", rule="file 95"
        )
    usable_folder(out, voice)
    from layout.trace.result import TraceError, What

    kind = "drawing" if _is(pictures, DRAWINGS) else "scan" if scan or across or up or _is(pictures, _DOCUMENTS) else ""
    answers = answered(
        voice, kind or "photograph", Answers(what=what, above=above, tape=tape, across=across, up=up, inside=inside)
    )
    if answers.what not in list(What):
        voice.refuse(f"'{answers.what}' can't be traced", remedy=f"write --what {' or '.join(What)}")
    try:
        more: dict[Path, bytes] = {}
        if kind:
            found = _from(kind, pictures, What(answers.what), answers, layer)
        else:
            found, more = _photographed(pictures, What(answers.what), answers, out, beside or out / "project")
    except TraceError as error:
        _refuse(voice, error)
    _tell(voice, found, pictures, out, more)


def _is(pictures: Sequence[Path], suffixes: Sequence[str]) -> bool:
    return pictures[0].suffix.lower() in suffixes


def _from(kind: str, pictures: Sequence[Path], what: What, answers: Answers, layer: str) -> tuple[Traced, ...]:
    from layout.trace.result import TraceError

    if len(pictures) > 1 and kind:
        raise TraceError(f"a {kind} is traced alone", "name one file")
    if kind == "drawing":
        from layout.trace.vector import from_drawing

        known = answers.across_known, answers.up_known
        lengths = [one.length_mm if one else None for one in known]
        return from_drawing(pictures[0], what, layer=layer, across_mm=lengths[0], up_mm=lengths[1])
    from layout.trace.picture import read_picture
    from layout.trace.scan import from_scan

    photo = read_picture(pictures[0])
    return (from_scan(photo, what, across=answers.across_known, up=answers.up_known, inside=answers.inside_px),)


def _photographed(
    pictures: Sequence[Path], what: What, answers: Answers, out: Path, beside: Path
) -> tuple[tuple[Traced, ...], dict[Path, bytes]]:
    """Return what photographs give, and the pictures to be written."""
    from layout.trace.photograph import MOST_PHOTOGRAPHS, PhotographAsked, from_photographs
    from layout.trace.picture import read_picture
    from layout.trace.picture_over import jpeg, overlay_picture, png
    from layout.trace.underlay import underlay

    photos = [read_picture(picture) for picture in pictures[: MOST_PHOTOGRAPHS + 1]]
    asked = PhotographAsked(what=what, above_mm=answers.above_mm, tape=answers.taped, inside=answers.inside_px)
    made = from_photographs(photos, asked)
    picture, where = underlay(made.traced, made.flat)
    name = pictures[0].stem
    kept = beside.parent / f"{name}.underlay.jpg"
    return (made.traced,), {
        out / f"{name}.overlay.png": png(overlay_picture(made.traced, made.flat)),
        kept: jpeg(picture),
        kept.with_suffix(".yaml"): where.encode("utf-8"),
    }


def _refuse(voice: Voice, error: TraceError) -> NoReturn:
    voice.refuse(error.message, remedy=error.remedy, rule="file 94")


def _tell(
    voice: Voice, found: Sequence[Traced], pictures: Sequence[Path], out: Path, more: Mapping[Path, bytes]
) -> None:
    from layout.trace.words import yaml_of

    source = ", ".join(picture.name for picture in pictures)
    text = "\n".join(yaml_of(one, source) for one in found)
    file = out / f"{pictures[0].stem}.traced.yaml"
    voice.data["traced"] = [
        {"what": one.what, "uncertainty_mm": round(one.uncertainty_mm, 3), "for_cutting": one.for_cutting}
        for one in found
    ]
    for line in text.splitlines():
        voice.line(line)
    contents = {file: text.encode("utf-8"), **more}
    voice.files([written(partial(_write, path, contents[path]), out, voice) for path in contents])
    if not all(one.for_cutting for one in found):
        voice.line("Not for cutting: see the remarks above.")
    voice.line("Copy the lines into the project file; lay a printed template over the thing before cutting.")
    voice.finish()


def _write(file: Path, content: bytes) -> Path:
    from layout.project.editing.writing import put_into

    return put_into(file.parent, [(file.name, content)])[0]
