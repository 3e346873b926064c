"""A run: one plan carried out at the press, as steps that are only added. What it is now follows from them."""
