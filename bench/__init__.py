"""Speed, side by side. A bench is a module here whose run() returns its candidates by name, the yardstick first.

Its about(), where it has one, tells what is measured and how much work is in it, as `bench.work.Work`.
"""
