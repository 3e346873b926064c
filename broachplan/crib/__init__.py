"""The crib: pieces as records, their conditions, and what lies on the shelf for a plan."""
