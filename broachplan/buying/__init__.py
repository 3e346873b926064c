"""What coming work needs of the crib: verdicts by day, who gets which piece, and what is missing."""
