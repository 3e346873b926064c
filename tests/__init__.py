"""The tests mirror the packages; names are sentences that hold."""
