"""Export: what goes out for people to fill in."""
