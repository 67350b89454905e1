"""Counting under the microscope: geometry, numbers with their intervals, biomass, hyphae, tubes, nematodes."""
