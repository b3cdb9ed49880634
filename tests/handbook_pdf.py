"""The handbook as one PDF: ``python -m tests.handbook_pdf out/handbook.pdf``.

The pages of the site in their order, then the reference, joined to one page of HTML whose links lead within it, and
printed by Chromium. Pictures and reference are made first, as for the site.
"""

from __future__ import annotations

import posixpath
import re
import shutil
import sys
import tempfile
from pathlib import Path

import markdown
import yaml

from tests import handbook_pictures, reference_pages
from tests.conftest import ROOT

LOCAL = re.compile(r'(?P<kind>href|src)="(?P<to>(?!https?:|#)[^"]+)"')

STYLE = """
@page { size: A4; margin: 18mm 18mm 20mm }
body { font: 10pt/1.4 'DejaVu Sans', sans-serif; color: #1d2a28 }
h1 { font-size: 18pt; break-before: page } h2 { font-size: 13pt } h3 { font-size: 11pt }
h1, h2, h3 { color: #17566a; break-after: avoid }
section.small h1 { break-before: auto; font-size: 11pt; margin-top: 7mm }
section.small h2 { font-size: 9pt; margin: 1mm 0 }
section.small p { margin: 1mm 0 }
pre, code { font: 8pt/1.35 'DejaVu Sans Mono', monospace; background: #f2f3ef }
pre { padding: 2mm; white-space: pre-wrap }
table { border-collapse: collapse; break-inside: auto } tr { break-inside: avoid }
th, td { border-bottom: 0.2mm solid #6a6d66; padding: 1mm 2mm; text-align: left; vertical-align: top }
img { max-width: 100%; max-height: 120mm } a { color: #17566a; text-decoration: none }
blockquote { border-left: 1mm solid #a12d12; margin: 0; padding-left: 4mm }
"""


def chapters() -> list[str]:
    """Return the pages in their order: those of the site's contents, then the reference, findings last."""
    site = yaml.safe_load((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))
    listed = [name for entry in site["nav"] for name in entry.values()]
    made = [f"reference/{name}" for name in reference_pages.pages() if name.endswith(".md")]
    made.sort(key=lambda name: name.startswith("reference/findings"))
    return list(dict.fromkeys((*listed, *made)))


def as_html(docs: Path) -> str:
    """Return the whole handbook as one page of HTML; pictures are named as they lie below ``docs``."""
    names = chapters()
    parts = "".join(_chapter(docs, name, set(names)) for name in names)
    large = [name for name in names if _large(name)]
    contents = "".join(f'<li><a href="#{_anchor(name)}">{_title(docs, name)}</a></li>' for name in large)
    head = f'<meta charset="utf-8"><title>spile handbook</title><style>{STYLE}</style>'
    start = f'<h1 style="break-before: auto">spile handbook</h1><ol>{contents}</ol>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{start}{parts}</body></html>'


def _large(name: str) -> bool:
    return not name.startswith("reference/findings/") or name.endswith("index.md")


def _title(docs: Path, name: str) -> str:
    return (docs / name).read_text(encoding="utf-8").partition("\n")[0].lstrip("# ")


def _anchor(name: str) -> str:
    return "page-" + re.sub(r"\W", "-", name.removesuffix(".md"))


def _chapter(docs: Path, name: str, names: set[str]) -> str:
    """Return one page as a section whose links lead to other sections, and to files where there is no such page."""
    text = (docs / name).read_text(encoding="utf-8")
    html = markdown.markdown(text, extensions=["tables", "fenced_code", "sane_lists"])

    def lead(link: re.Match[str]) -> str:
        target = posixpath.normpath(posixpath.join(posixpath.dirname(name), link["to"].partition("#")[0]))
        inside = link["kind"] == "href" and target in names
        return f'{link["kind"]}="{f"#{_anchor(target)}" if inside else target}"'

    kind = "large" if _large(name) else "small"
    return f'<section class="{kind}" id="{_anchor(name)}">{LOCAL.sub(lead, html)}</section>'


def write(target: Path) -> None:
    """Print the handbook into a PDF with an outline and page numbers."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        docs = Path(folder) / "docs"
        shutil.copytree(ROOT / "docs", docs, ignore=shutil.ignore_patterns("reference", "pictures"))
        reference_pages.write(docs / "reference")
        handbook_pictures.write(docs / "pictures")
        (docs / "handbook.html").write_text(as_html(docs), encoding="utf-8")
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page()
        page.goto((docs / "handbook.html").as_uri())
        target.parent.mkdir(parents=True, exist_ok=True)
        number = '<div style="font-size: 8px; width: 100%; text-align: center"><span class="pageNumber"></span></div>'
        page.pdf(
            path=target, prefer_css_page_size=True, outline=True, tagged=True, display_header_footer=True,
            header_template="<span></span>", footer_template=number, print_background=True,
        )  # fmt: skip
        browser.close()


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "out/handbook.pdf"))
