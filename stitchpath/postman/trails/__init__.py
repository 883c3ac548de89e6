"""From the number of times that each edge is sewn to walks: pairing, laps, and the order of trails."""
