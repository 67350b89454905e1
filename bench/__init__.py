"""Speed, side by side. A bench is a module here whose run() returns its candidates by name, the yardstick first."""
