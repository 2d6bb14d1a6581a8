"""What a sort of step is declared with: its rule from data, what is typed, its controls and cells. Pure."""
