"""What screens are made of: classes that several screens share. None of them names a screen."""
