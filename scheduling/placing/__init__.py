"""At which check each work is done: the last one before its limit, brought together where that saves more. Pure."""
