"""Lists to work by on board: what to switch off and unplug, in which order, what to test."""
