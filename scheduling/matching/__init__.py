"""Which unit for which planned removal, and how many are enough: plain facts in, plain facts out."""
