"""The guided first crib: what is asked next, of which piece, and what of an answer looks like a slip."""
