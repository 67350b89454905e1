"""Commands of `rootcase make`."""
