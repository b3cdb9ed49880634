"""The cutting template: holes and tools as data, then sheets and tiles at full size."""
