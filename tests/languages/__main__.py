"""``python -m tests.languages de``: which texts a language lacks, in the source and in what examples print."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.conftest import ROOT
from tests.languages.texts import unspoken, untranslated

EXAMPLES = ("launch/launch.yaml", "canal_barge.yaml", "workshop_wall.yaml", "mussel_boat.yaml")

if __name__ == "__main__":
    CODE = sys.argv[1]
    for said, file in untranslated(CODE).items():
        print(f"{file}: {said!r}")
    for example in EXAMPLES:
        with TemporaryDirectory() as out:
            for part, text in unspoken(ROOT / "examples" / example, CODE, Path(out)).items():
                print(f"{example}: {part!r}" + ("" if part == text else f" in {text!r}"))
