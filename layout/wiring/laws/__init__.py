"""The laws of the electrical system: each one short question to the graph, whatever a thing is called."""
