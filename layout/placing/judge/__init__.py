"""An independent judge of arrangements: exact shapes, one module per family of rules, no solver code."""

from layout.placing.judge.judge import judge, judge_moved, refusals

__all__ = ["judge", "judge_moved", "refusals"]
