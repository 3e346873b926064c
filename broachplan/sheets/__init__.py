"""A result as a sheet: what is said of it, in which order and by which names. Every face lays the same sheet out."""
