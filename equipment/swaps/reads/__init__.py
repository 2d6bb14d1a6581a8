"""A swap as it stands, read from its rows: the state its release is decided by."""
