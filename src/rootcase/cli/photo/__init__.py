"""Commands of `rootcase observe photo`."""
