"""An own sheet's next dates, hours and cycles beside what is reckoned of them."""
