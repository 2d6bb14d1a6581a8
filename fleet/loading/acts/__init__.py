"""Loads brought and decided, and bulk writes of what they bring. Only these modules write it."""
