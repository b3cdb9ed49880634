"""What is declared: ends, conductors, chains, ways, and the graph of supplies."""
