"""The door for the record of what was put on."""
