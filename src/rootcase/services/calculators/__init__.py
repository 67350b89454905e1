"""Every formula of the trade as a small sum: found, explained and worked out from what its own docstring promises."""
