"""Checks and due dates as a calendar (RFC 5545), read from a secret address that its person can withdraw."""
