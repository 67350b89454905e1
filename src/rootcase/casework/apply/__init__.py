"""What can be put on where and when, and who drives there."""
