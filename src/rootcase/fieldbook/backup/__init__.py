"""A copy of the whole fieldbook in one file, made while others write in it, and brought back to a new place."""
