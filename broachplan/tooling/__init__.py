"""The pieces of a broaching set-up and their figures: frozen values that refuse to exist wrong."""
