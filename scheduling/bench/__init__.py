"""The figures of the program: what is measured, on an invented fleet in a database of its own."""
