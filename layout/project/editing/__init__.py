"""Changes to a project file, as patches of its text."""
