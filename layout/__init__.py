"""spile: plans an instrument and breaker panel, cuts it and wires it."""
