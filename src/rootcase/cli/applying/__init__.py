"""Commands of `rootcase apply`."""
