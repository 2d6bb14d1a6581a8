"""How the due list is read: from the stored items, or reckoned for another day, in the same rows."""
