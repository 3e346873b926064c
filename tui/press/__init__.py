"""The parts of the screen at the press: what is typed there, what is drawn, what is said."""
