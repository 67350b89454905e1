"""The door for what is made, and how it stands."""
