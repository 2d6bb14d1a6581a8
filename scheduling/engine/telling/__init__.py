"""One item told so that a person can check it with a pencil."""
