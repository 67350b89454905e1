"""Making compost and extract: what the figures show, and what may be used."""
