"""Views of the due list, kept under a name by whoever uses them."""
