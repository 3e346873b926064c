"""Paper: bytes of PDF files from results. No store, no clock, no files but the fonts and tables beside it."""
