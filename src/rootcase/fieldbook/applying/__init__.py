"""The door for the ground before work, and for the work that was done."""
