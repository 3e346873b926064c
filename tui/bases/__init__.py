"""Base classes that several screens share. None of them names a screen."""
