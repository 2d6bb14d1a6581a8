"""The sheets of the ledger: movements, annulments, merges."""
