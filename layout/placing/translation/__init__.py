"""From a project to the whole-number problem of the engine: every shape rounded to one declared side."""
