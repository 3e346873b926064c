"""The buyer's desk: the list of coming work, a module for each act."""
