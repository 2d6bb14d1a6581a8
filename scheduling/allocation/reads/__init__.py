"""The kept proposal read: needs, why, shortage, float."""
