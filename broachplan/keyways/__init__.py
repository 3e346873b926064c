"""What the drawing asks for: keys, keyways, their widths, depths and readings."""
