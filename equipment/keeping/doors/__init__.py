"""The doors of the ledger: movements, corrections, annulments."""
