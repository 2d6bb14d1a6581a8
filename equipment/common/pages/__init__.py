"""What the pages of the rooms share: the person, an act tried, a page answered."""
