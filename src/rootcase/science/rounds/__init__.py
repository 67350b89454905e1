"""What a day of rounds is, and whether a plan for it can be driven."""
