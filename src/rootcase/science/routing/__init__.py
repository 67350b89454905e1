"""The search for rounds: in which order, with which fills, by whom."""
