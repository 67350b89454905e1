"""The client's report as a tagged PDF."""
