"""The command line: text to records, one call to services, show."""
