"""The command line: turns words into calls to the desks, and results into words or JSON."""
