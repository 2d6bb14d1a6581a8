"""What the controller says of the plan: its margin and prices, and where one work is done."""
