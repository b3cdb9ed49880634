"""``spile rules``: every limit, its value and where it comes from."""

from __future__ import annotations

from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def rules(file: ProjectFile, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Show every limit of placing, and who set it.

    Example: spile rules panel.yaml
    """
    from layout.placing.rule_table import effective_rules

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    limits = effective_rules(session.project)
    voice.data["limits"] = [
        {
            "rule": one.rule, "layer": one.layer, "applies": one.applies, "value_mm": one.value_mm,
            "set_by": one.origin, "at": str(one.at), "why": one.why, "source": one.source,
        }
        for one in limits
    ]  # fmt: skip
    voice.table(
        ("rule", "layer", "mm", "set by", "applies to"),
        [(one.rule, one.layer, one.value_mm, _set_by(one.origin, str(one.at)), one.applies) for one in limits],
    )
    voice.finish(session.findings, session.sources)


def _set_by(origin: str, at: str) -> str:
    return f"{origin}, {at}" if at else origin
