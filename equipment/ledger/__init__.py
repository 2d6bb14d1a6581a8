"""The ledger's rules over plain data: what contradicts what, and where units were. No ORM, no clock.

Only :mod:`nesting` asks the database itself: one question for any number of units.
"""
