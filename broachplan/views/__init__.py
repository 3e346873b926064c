"""What the desks give back, in words: each list described once, each result a sheet. Every face shows the same."""
