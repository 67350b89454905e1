"""The kinds of events of the ground before work, and of the work that was done."""
