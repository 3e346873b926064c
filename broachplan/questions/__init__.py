"""What people ask, line by line, and how it is read. The declarations are light: readers load the trade when they run."""
