"""What can be done at the press: each act is a function of what the run is, and gives the steps that it writes."""
