"""What people do in a stock-take."""
