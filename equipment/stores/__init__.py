"""The counter: receiving, stock, what is set aside and issued, the shop loop."""
