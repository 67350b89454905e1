"""Intake: foreign bytes in, events out; what cannot be taken is named, set aside and can be mended."""
