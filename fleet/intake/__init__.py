"""From an operator's sheets to plain values: pure reading, no database and no clock.

``files`` opens what was brought, ``tables`` finds headings and lines, ``columns`` turns cells into
values or problems, ``registry`` holds what kinds of sheet there are and ``template`` writes them.
"""
