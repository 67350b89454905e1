"""Formulas on numbers and arrays, by subject: pure, SI inside, no knowledge of records."""
