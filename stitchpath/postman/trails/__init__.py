"""From how often each edge is sewn to walks: pairing, laps, and the order of trails."""
