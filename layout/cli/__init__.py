"""The command line: thin faces over the flow; no rule lives here."""
