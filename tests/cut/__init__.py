"""The cut: section, load and budget."""
