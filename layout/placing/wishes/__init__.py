"""Wishes as terms of the engine, each under the name that the user reads."""
