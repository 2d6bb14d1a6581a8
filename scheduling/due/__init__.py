"""The due list: one way to read it for pages, export, command and API."""
