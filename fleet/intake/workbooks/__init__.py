"""Workbooks opened with care: their parts guarded, glanced at, and read as markup only where that is needed."""
