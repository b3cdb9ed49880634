"""``python -m layout`` is the command ``spile``."""

from layout.cli.main import run

run()
