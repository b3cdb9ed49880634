"""The instrument bus, serial links and antenna leads: planned, reckoned and checked."""
