"""Ways through the wireways: lengths, loom and fill."""
