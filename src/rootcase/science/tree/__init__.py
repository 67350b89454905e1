"""The root-zone model of one tree: its soil, its water day by day, its growth beside the yardstick's."""
