"""``python -m layout`` is the command ``spile``."""

from layout.cli.main import run

if __name__ == "__main__":  # a process that places beside the bench reads this module too
    run()
