"""Which bushing, which shims in which order: rules, search, cautions, and what to make when a piece is missing."""
