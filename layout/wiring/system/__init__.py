"""The electrical system as one graph: every terminal a node, every conductor, device, contact and load an edge."""
