"""The machinist's desk: one function for each act, planning first."""
