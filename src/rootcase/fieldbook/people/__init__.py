"""The people of a practice: how they prove who they are, what stays open for them, and the links that clients get."""
