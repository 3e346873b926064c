"""The attendant's acts: what comes into the crib, what is in it, and whether its books are in order."""
