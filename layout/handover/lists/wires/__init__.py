"""Lists of wires: schedule, ends, labels, cut list, sizes, protective devices, earth."""
