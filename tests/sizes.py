"""How large each part of the program is, and what for: ``python -m tests.sizes`` prints the table."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def purpose(folder: Path) -> str:
    """Return the first line of a part's docstring, or of a module's."""
    file = folder / "__init__.py" if folder.is_dir() else folder
    return (ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or "").split("\n", 1)[0]


def lines(path: Path) -> int:
    """Return the number of lines of a module, or of all modules below a folder."""
    files = path.rglob("*.py") if path.is_dir() else [path]
    return sum(len(file.read_text(encoding="utf-8").splitlines()) for file in files)


def parts() -> list[Path]:
    """Return the parts of the program: the folders of ``layout``, those inside them, and single modules."""
    top = sorted(path for path in (ROOT / "layout").iterdir() if is_part(path))
    return [one for path in top for one in (path, *(sorted(filter(is_part, path.iterdir())) if path.is_dir() else ()))]


def is_part(path: Path) -> bool:
    """Tell whether a path is a folder with Python in it, or a module that stands on the top floor."""
    if path.is_dir():
        return (path / "__init__.py").exists() and any(path.glob("[!_]*.py"))
    return path.suffix == ".py" and path.parent.name == "layout" and not path.name.startswith("__")


def main() -> None:
    """Print the table."""
    print(f"{'part':<28}{'lines':>7}{'tests':>7}  what for")
    for path in parts():
        name = path.relative_to(ROOT / "layout").with_suffix("").as_posix()
        tests = ROOT / "tests" / name
        tested = lines(tests) if tests.is_dir() else 0
        shown = "  " * name.count("/") + name.rpartition("/")[2]
        print(f"{shown:<28}{lines(path):>7}{tested or '':>7}  {purpose(path)}")
    print(f"{'all':<28}{lines(ROOT / 'layout'):>7}{lines(ROOT / 'tests'):>7}")


if __name__ == "__main__":
    main()
