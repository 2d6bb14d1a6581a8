"""What leaves a shelf: scrapped for good, or sent to another station until it is received there."""
