"""Acts on a run at the press: each reads a snapshot, lets the pure room decide, and keeps one step."""
