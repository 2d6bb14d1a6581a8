"""The ledger's rules over plain data: what contradicts what, and where units were. No ORM, no clock."""
