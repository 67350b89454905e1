"""What a new reading is held against, and what is asked where it strays: slips, other trees, things that disagree."""
