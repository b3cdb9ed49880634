"""The compiled part of the annealing: its source, its WebAssembly, and what talks to it."""
