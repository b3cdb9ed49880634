"""Published tables as data files with their source, and look-ups on them; nothing else."""
