"""A batch and its tank: water, oxygen, hygiene, how much goes where, and what that is worth."""
