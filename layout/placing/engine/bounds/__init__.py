"""What no arrangement can do better than: rows that every valid arrangement meets, and a bound from them."""
