"""The kinds of events of what is made."""
