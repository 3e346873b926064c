"""Published figures as tables, one file per standard and table, and their readers."""
