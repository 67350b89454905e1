"""What is put on: jobs, the days that allow them, rounds, and the record of what was done."""
