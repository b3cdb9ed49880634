"""From files to the typed project, with the place of everything that is wrong."""
