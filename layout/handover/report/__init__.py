"""One page to share: everything that was worked out, to look at without spile and without network."""
