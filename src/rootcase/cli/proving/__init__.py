"""Commands of rootcase prove."""
