"""A bus that is judged: its shape, lengths, feed, power and voltages."""
